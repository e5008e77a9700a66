// SPDX-License-Identifier: MIT
// Every remedy that is offered does what it says, and what a person rules out is not offered.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace counterion;

namespace {

const Tables& known() { return Tables::built_in(); }

/// The formulas of the samples and of the scenarios.
std::vector<std::pair<std::string, CheckResult>> answers() {
  std::vector<std::pair<std::string, CheckResult>> all;
  for (const auto& name : samples::names) all.emplace_back(name, check(samples::sample(name)));
  for (const auto& row : test::rows_of_file("answers/data/scenarios.csv")) {
    CheckOptions options;
    options.jurisdiction = row.text("market");
    all.emplace_back(row.text("id"), check(samples::formula_of(samples::items_of(row.text("formula")), row.text("type"), row.text("use")), known(), options));
  }
  return all;
}

bool has_preservative(const CheckResult& result) { return !result.preservation.none(); }

CheckResult serum(const CheckOptions& options = {}) { return check(samples::sample("brightening-serum"), known(), options); }

template <class Holds>
bool any_change(const CheckResult& result, Holds&& holds) {
  return std::ranges::any_of(result.remedies, [&](const Remedy& remedy) { return std::ranges::any_of(remedy.changes, holds); });
}

}  // namespace

TEST_CASE("every remedy passes when it is applied: no stop, no less preservation, a pH that can be reached") {
  std::size_t remedies = 0;
  for (const auto& [name, result] : answers()) {
    for (const auto& remedy : result.remedies) {
      CAPTURE(name);
      CAPTURE(remedy.changes.front().names.front());
      CAPTURE(remedy.changes.front().name);
      ++remedies;
      for (const auto& product : remedy.products) {
        CheckOptions options = result.options;
        options.remedies = false;
        const auto again = check(product.formula, known(), options);
        CHECK_FALSE(again.stop());
        CHECK(again.formula.items.size() == product.formula.items.size());
        double total = 0;
        for (const auto& item : product.formula.items) total += item.percent;
        CHECK(total == doctest::Approx(100));
        if (has_preservative(result)) CHECK(has_preservative(again));
        REQUIRE(again.prediction.has_value() == product.ph.has_value());
        if (!again.prediction) continue;
        CHECK(again.prediction->ph == doctest::Approx(*product.ph).epsilon(1e-6));
        CHECK(again.window.low == doctest::Approx(product.low));
        CHECK(again.window.high == doctest::Approx(product.high));
        CHECK(again.adjustment_needed == product.adjustment_needed);
        CHECK(product.adjustment_needed == !product.adjuster.empty());
      }
    }
  }
  MESSAGE(remedies << " remedies applied");
  CHECK(remedies > 40);
}

TEST_CASE("remedies come with the least change first") {
  for (const auto& [name, result] : answers()) {
    CAPTURE(name);
    CHECK(std::ranges::is_sorted(result.remedies, {}, &Remedy::cost));
    CHECK(result.remedies.size() <= most_remedies);
    if (!result.stop() && result.preservation.acids_suffice()) CHECK(result.remedies.empty());
  }
}

TEST_CASE("no remedy brings in what no program should send anybody to") {
  for (const auto& [name, result] : answers()) {
    CAPTURE(name);
    for (const auto* barred : {"formaldehyde-donor", "medicine", "professional-only"})
      CHECK_FALSE(any_change(result, [&](const Change& c) { return !c.ingredient.empty() && known().covers(barred, c.ingredient); }));
    if (result.formula.use != "rinse-off")
      CHECK_FALSE(any_change(result, [&](const Change& c) { return known().covers("isothiazolinone", c.ingredient); }));
    CHECK_FALSE(any_change(result, [&](const Change& c) {
      return c.kind == ChangeKind::leave_out && std::ranges::any_of(c.items, [&](std::size_t i) {
        return known().covers("uv-filter", result.formula.items[i].ingredient);
      });
    }));
  }
}

TEST_CASE("what a person keeps is not changed, and what a person rules out is not brought in") {
  const auto changes_benzoate = [](const CheckResult& result) {
    return any_change(result, [](const Change& c) { return std::ranges::find(c.names, "Sodium Benzoate") != c.names.end(); });
  };
  CHECK(changes_benzoate(serum()));
  CheckOptions keep;
  keep.keep = {"Sodium Benzoate"};
  CHECK_FALSE(changes_benzoate(serum(keep)));
  const auto plain = serum();
  const auto swap = std::ranges::find_if(plain.remedies, [](const Remedy& r) { return r.changes.front().kind == ChangeKind::another_preservative; });
  REQUIRE(swap != plain.remedies.end());
  CheckOptions without;
  without.without = {"paraben", swap->changes.front().ingredient};
  const auto fewer = serum(without);
  CHECK_FALSE(any_change(fewer, [&](const Change& c) { return c.ingredient == swap->changes.front().ingredient; }));
  CHECK_FALSE(any_change(fewer, [](const Change& c) { return known().covers("paraben", c.ingredient); }));
  CHECK(any_change(fewer, [](const Change& c) { return c.kind == ChangeKind::another_preservative; }));
}

TEST_CASE("an exclusion that nobody knows is a fault, with the nearest names") {
  CheckOptions options;
  options.keep = {"sodium benzoat"};
  options.without = {"moon dust"};
  try {
    serum(options);
    FAIL("it was taken");
  } catch (const BadInput& bad) {
    REQUIRE(bad.problems().size() == 2);
    CHECK(bad.problems()[1].suggestions.front() == "Sodium Benzoate");
  }
}

// Common practice: what shares no pH is sold as two products.
TEST_CASE("actives that share no pH may go into two products, each of them preserved") {
  const auto result = check(samples::formula_of({{"ascorbic-acid", 5}, {"zinc-oxide", 5},
                                                 {"phenoxyethanol-ethylhexylglycerin-90-10", 1}}));
  REQUIRE(result.stop());
  const auto split = std::ranges::find_if(result.remedies, [](const Remedy& r) { return r.products.size() == 2; });
  REQUIRE(split != result.remedies.end());
  CHECK(split->changes.size() == 2);
  for (const auto& product : split->products) CHECK(product.ph);
}

TEST_CASE("water makes up the difference of a change, and without enough of it there is none") {
  const auto formula = samples::formula_of({{"glycerin", 90}, {"sodium-benzoate", 0.5}});
  Change change;
  change.kind = ChangeKind::another_preservative;
  change.items = {1};
  change.ingredient = change.name = "phenoxyethanol";
  change.percent_before = 0.5;
  change.percent_after = 1;
  const auto changed = with_change(formula, change);
  REQUIRE(changed);
  CHECK(changed->items[1].ingredient == "phenoxyethanol");
  CHECK(changed->items[2].percent == doctest::Approx(9.0));
  change.percent_after = 20;
  CHECK_FALSE(with_change(formula, change));
}
