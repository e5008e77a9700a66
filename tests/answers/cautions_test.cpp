// SPDX-License-Identifier: MIT
// Every caution of the tables has one formula that fires it and a near miss that stays silent.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

using namespace counterion;

namespace {

/// "urea 5; water 90 | pH 6.2 | use rinse-off | type hair": a formula, what is missing being water.
struct Case {
  Formula formula;
  std::optional<double> ph;

  explicit Case(const std::string& text) {
    const auto parts = samples::split(text, '|');
    formula = samples::formula_of(samples::items_of(parts.at(0)), "", "");
    for (std::size_t i = 1; i < parts.size(); ++i) {
      const auto blank = parts[i].find(' ');
      const auto word = parts[i].substr(0, blank), value = parts[i].substr(blank + 1);
      if (word == "pH")
        ph = std::stod(value);
      else if (word == "use")
        formula.use = value;
      else if (word == "type")
        formula.product_type = value;
      else
        FAIL("what is " << parts[i]);
    }
  }
  bool fires(const std::string& caution) const {
    for (const auto& item : formula.items)
      REQUIRE_MESSAGE(Tables::built_in().ingredient(item.ingredient), item.ingredient);
    const auto fired = cautions_of(formula, ph, ph, Tables::built_in());
    return std::ranges::any_of(fired, [&](const FiredCaution& one) { return one.id == caution; });
  }
};

}  // namespace

TEST_CASE("every caution fires where it should and stays silent where it just should not") {
  std::set<std::string> tested;
  for (const auto& row : test::rows_of_file("answers/data/caution_cases.csv")) {
    const auto& id = row.text("caution");
    CAPTURE(id);
    tested.insert(id);
    CHECK(Case(row.text("fires")).fires(id));
    CHECK_FALSE(Case(row.text("silent")).fires(id));
    CHECK(row.has("why_silent"));
  }
  for (const auto& caution : Tables::built_in().cautions()) {
    CAPTURE(caution.id);
    CHECK(tested.contains(std::string(caution.id)));
  }
  CHECK(tested.size() == Tables::built_in().cautions().size());
  CHECK(tested.size() >= 150);
}
