// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

/// A range of an ingredient of its own.
WorkingRange hard(double low, double high, std::size_t item = 0) {
  WorkingRange range;
  range.items = {item};
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
  const Window window = window_of({hard(3, 4.5, 0), hard(6, 8, 1), hard(3, 9, 2), hard(2, 5, 3)}, 5.0);
  CHECK_FALSE(window.feasible);
  CHECK_FALSE(window.target);
  REQUIRE(window.conflicts.size() == 2);
  CHECK(window.conflicts[0].a == 0);
  CHECK(window.conflicts[0].b == 1);
  CHECK(window.conflicts[0].gap == doctest::Approx(1.5));
  CHECK(window.conflicts[1].gap == doctest::Approx(1.0));
  CHECK(window.least_removal().left_out == std::vector<std::size_t>{1});
  CHECK(window.least_removal().low == 3);
  CHECK(window.least_removal().high == 4.5);
}

TEST_CASE("what weighs more stays, and the law and the kind of product stay before all") {
  const std::vector<WorkingRange> ranges{hard(3, 4.5, 0), hard(6, 8, 1)};
  CHECK(window_of(ranges, 5.0, {}, {1, 3}).least_removal().left_out == std::vector<std::size_t>{0});
  CHECK(window_of(ranges, 5.0, {}, {3, 1}).least_removal().left_out == std::vector<std::size_t>{1});
  WorkingRange product = hard(3, 5);
  product.items.clear();
  CHECK(window_of({hard(6, 8, 0), hard(6, 9, 1), product}, 5.0).least_removal().left_out ==
        std::vector<std::size_t>{0, 1});
}

TEST_CASE("all ranges of one ingredient go together") {
  const Window window = window_of({hard(3, 4.5, 0), hard(2, 5, 0), hard(6, 8, 1), hard(6, 9, 2)}, 5.0);
  CHECK(window.least_removal().left_out == std::vector<std::size_t>{0, 1});
  CHECK(window.least_removal().weight == 1);
  REQUIRE(window.removals.size() == 2);
  CHECK(window.removals[1].left_out == std::vector<std::size_t>{2, 3});
}

TEST_CASE("beyond two hundred ranges pairs are counted, and the widest is named") {
  std::vector<WorkingRange> ranges;
  for (std::size_t i = 0; i < 150; ++i) ranges.push_back(hard(1, 4, i)), ranges.push_back(hard(6, 9, 150 + i));
  ranges.push_back(hard(1, 2, 300));
  const Window many = window_of(ranges, 5.0);
  CHECK(many.conflict_count == 150 * 151);
  REQUIRE(many.conflicts.size() == 1);
  CHECK(many.conflicts.front().a == 300);
  CHECK(many.conflicts.front().gap == doctest::Approx(4));
  ranges.resize(200);
  const Window few = window_of(ranges, 5.0);
  CHECK(few.conflicts.size() == 100 * 100);
  CHECK(few.conflict_count == few.conflicts.size());
}

TEST_CASE("sources that disagree leave a firm core, and the target keeps to it") {
  WorkingRange disputed = hard(3, 8);
  disputed.others = {{4.5, 7.0, "", "", ""}, {std::nullopt, 9.0, "", "", ""}};
  const Window window = window_of({disputed, hard(2, 10, 1)}, 3.3);
  CHECK(window.low == 3);
  CHECK(window.high == 8);
  REQUIRE(window.firm);
  CHECK(window.firm->low == 4.5);
  CHECK(window.firm->high == 7);
  REQUIRE(window.widest);
  CHECK(window.widest->high == 9);
  CHECK(*window.target == doctest::Approx(4.7));
}

TEST_CASE("sources that exclude one another leave no firm core") {
  WorkingRange disputed = hard(6, 8);
  disputed.others = {{std::nullopt, 5.0, "", "", ""}};
  const Window window = window_of({disputed}, 7.0);
  CHECK(window.feasible);
  CHECK_FALSE(window.firm);
}

TEST_CASE("a coarser meter keeps the target further off the edges") {
  Margin strip;
  strip.meter = 0.5;
  CHECK(*window_of({hard(4, 7)}, 2.0).target == doctest::Approx(4.2));
  CHECK(*window_of({hard(4, 7)}, 2.0, strip).target == doctest::Approx(4.6));
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
