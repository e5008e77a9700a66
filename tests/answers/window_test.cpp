// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

WorkingRange hard(double low, double high) {
  WorkingRange range;
  range.kind = "stability";
  range.minimum = low, range.maximum = high;
  return range;
}

WorkingRange with_ideal(WorkingRange range, double low, double high) {
  range.ideal_low = low, range.ideal_high = high;
  return range;
}

WorkingRange wish(double low, double high) {
  WorkingRange range = hard(low, high);
  range.hard = false;
  return range;
}

}  // namespace

TEST_CASE("the hard ranges make the window and name its edges") {
  const Window window = window_of({hard(3, 8), hard(4, 9), hard(2, 6)}, 5.0);
  CHECK(window.feasible);
  CHECK(window.low == 4);
  CHECK(window.high == 6);
  CHECK(window.low_bound_by == std::vector<std::size_t>{1});
  CHECK(window.high_bound_by == std::vector<std::size_t>{2});
  CHECK(window.next_low == std::vector<std::size_t>{0});
  CHECK(window.next_high == std::vector<std::size_t>{0});
  CHECK(window.conflicts.empty());
}

TEST_CASE("a wish pulls the target and does not make the window") {
  const Window window = window_of({hard(3, 8), wish(2, 4)}, 7.0);
  CHECK(window.low == 3);
  CHECK(window.high == 8);
  REQUIRE(window.target);
  CHECK(*window.target <= 4);
}

TEST_CASE("the target lies in the ideal span, off the edges, nearest to what is predicted") {
  const auto range = with_ideal(hard(3, 8), 4.5, 6);
  CHECK(window_of({range}, 7.5).target == doctest::Approx(6.0));
  CHECK(window_of({range}, 3.1).target == doctest::Approx(4.5));
  CHECK(window_of({range}, 5.2).target == doctest::Approx(5.2));
  CHECK(*window_of({hard(4, 6)}, 2.0).target >= 4.2 - 1e-9);
  CHECK(*window_of({hard(4, 4.4)}, 2.0).target == doctest::Approx(4.1));
}

TEST_CASE("desirability is one in the ideal span and falls to its least at the bound") {
  const Window window = window_of({with_ideal(hard(3, 8), 4.5, 6)}, 5.0);
  CHECK(window.desirability(5) == doctest::Approx(1));
  CHECK(window.desirability(7) == doctest::Approx(0.5));
  CHECK(window.desirability(3) < 0.05);
  CHECK(window.desirability(9) < 0.05);
}

TEST_CASE("an empty window names every pair with its gap and the least that must go") {
  const Window window = window_of({hard(3, 4.5), hard(6, 8), hard(3, 9), hard(2, 5)}, 5.0);
  CHECK_FALSE(window.feasible);
  CHECK_FALSE(window.target);
  REQUIRE(window.conflicts.size() == 2);
  CHECK(window.conflicts[0].a == 0);
  CHECK(window.conflicts[0].b == 1);
  CHECK(window.conflicts[0].gap == doctest::Approx(1.5));
  CHECK(window.conflicts[1].gap == doctest::Approx(1.0));
  CHECK(window.least_removal.left_out == std::vector<std::size_t>{1});
  CHECK(window.least_removal.low == 3);
  CHECK(window.least_removal.high == 4.5);
}

TEST_CASE("without ranges the whole scale is open") {
  const Window window = window_of({}, 5.0);
  CHECK(window.feasible);
  CHECK(window.low == 0);
  CHECK(window.high == 14);
}

TEST_CASE("the serum's preservative and its vitamin share no pH") {
  const auto result = check(samples::sample("brightening-serum"));
  const Window& window = result.window;
  CHECK(result.stop());
  REQUIRE_FALSE(window.conflicts.empty());
  const auto& pair = window.conflicts.front();
  CHECK(window.ranges[pair.a].name == "Sodium Benzoate");
  CHECK(window.ranges[pair.b].name == "Magnesium Ascorbyl Phosphate");
  CHECK(pair.gap == doctest::Approx(*window.ranges[pair.b].minimum - *window.ranges[pair.a].maximum));
  CHECK(pair.gap > 1);
  CHECK(result.adjustments.empty());
}

TEST_CASE("a full second preservative that needs no acid takes the edge off the first") {
  const auto alone = check(samples::formula_of({{"sodium-benzoate", 0.5}, {"glycerin", 5}}));
  const auto seconded = check(samples::formula_of({{"sodium-benzoate", 0.5}, {"glycerin", 5}, {"phenoxyethanol", 0.9}}));
  CHECK(alone.window.high < 5.2);
  CHECK(seconded.window.high > 6);
}

TEST_CASE("a market's own range holds in that market only") {
  const auto formula = samples::formula_of({{"sodium-hydroxide", 0.2}, {"glycerin", 5}});
  const auto has_law = [&](const std::string& market) {
    CheckOptions options;
    options.jurisdiction = market;
    const auto result = check(formula, Tables::built_in(), options);
    return std::any_of(result.window.ranges.begin(), result.window.ranges.end(),
                       [](const auto& range) { return range.kind == "law"; });
  };
  CHECK(has_law("EU"));
  CHECK_FALSE(has_law("Japan"));
  CHECK(has_law(""));
}
