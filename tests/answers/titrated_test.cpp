// SPDX-License-Identifier: MIT
// A raw material of which nothing is known but its own titration.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

using namespace counterion;

namespace {

// 50 mL of 0.1 mol/L are 5 mmol, 1.021 g, in 100 mL.
constexpr double percent = 1.021;

double added_meq_per_g(const test::Row& row) {
  return row.number("base_mL") * 0.1 / percent;
}

/// A powder of unknown nature with these points of a titration.
Tables with_powder(const std::vector<test::Row>& points) {
  std::string titration = "ingredient,at_percent,added_meq_per_g,pH\n";
  for (const auto& row : points)
    titration += fmt::format("powder,{},{},{}\n", percent, added_meq_per_g(row), row.text("pH"));
  const std::vector<Tables::NamedText> own{
      {"ingredients", "ingredients.csv", "id,inci\npowder,Powder\n"},
      {"composition", "composition.csv", "ingredient,component,mass_fraction\npowder,inert,1\n"},
      {"titrations", "titrations.csv", titration}};
  return Tables::built_in().with_texts(own);
}

double ph_with(const test::Row& row, const Tables& tables) {
  const double mmol = row.number("base_mL") * 0.1;  // in 100 mL
  const auto formula =
      mmol < 0
          ? samples::formula_of({{"powder", percent}, {"hydrochloric-acid-10", -mmol * 0.36458}})
          : samples::formula_of({{"powder", percent}, {"sodium-hydroxide", mmol * 0.039997}});
  return predict(*water_phase_of(formula, tables), 0).ph;
}

}  // namespace

// Phthalate buffers as Lange's Handbook of Chemistry, 15th ed., table 8.16 prints them (rows of the
// data file): every second point is what the shop measured, the points between judge.
TEST_CASE("a titration of a material foretells the pH between its points") {
  std::vector<test::Row> known, asked;
  const auto rows = test::rows_of_file("answers/data/phthalate_titration.csv");
  for (std::size_t i = 0; i + 1 < rows.size(); ++i) (i % 2 == 0 ? known : asked).push_back(rows[i]);
  const auto tables = with_powder(known);
  for (const auto& row : asked) {
    CAPTURE(row.text("pH"));
    CHECK(std::abs(ph_with(row, tables) - row.number("pH")) < 0.1);
  }
}

TEST_CASE("one point of a titration is a measured pH") {
  const auto rows = test::rows_of_file("answers/data/phthalate_titration.csv");
  const std::vector<test::Row> one{rows[8]};
  CHECK(std::abs(ph_with(rows[8], with_powder(one)) - rows[8].number("pH")) < 0.05);
}

TEST_CASE("an acid titrated with base takes up as much base as it did then") {
  const auto tables = with_powder(test::rows_of_file("answers/data/phthalate_titration.csv"));
  double groups = 0;
  for (const auto& part : material_of("powder", tables).parts) groups += part.mol_per_g;
  // Between pH 2.2 and 5.9 most of the two carboxyl groups of phthalic acid, 2/204.22 mol/g, work.
  CHECK(groups > 1.2 / 204.22);
  CHECK(groups < 2.6 / 204.22);
}

// 56.1 mg of potassium hydroxide a gram are 1 mmol of acid a gram: by definition of the acid value.
TEST_CASE("an acid value is an acid that has to be neutralised") {
  const std::vector<Tables::NamedText> own{
      {"ingredients", "ingredients.csv", "id,inci\npowder,Powder\n"},
      {"composition", "composition.csv", "ingredient,component,mass_fraction\npowder,inert,1\n"},
      {"levels", "levels.csv",
       "subject,kind,value,upper_value,unit\npowder,acid-value,56.1,56.1,mg_KOH_per_g\n"
       "powder,residual-charge,0,0,meq_per_g\n"}};
  const auto tables = Tables::built_in().with_texts(own);
  const auto ph = [&](double sodium_hydroxide) {
    return predict(*water_phase_of(samples::formula_of(
                                       {{"powder", 10}, {"sodium-hydroxide", sodium_hydroxide}}),
                                   tables),
                   0)
        .ph;
  };
  CHECK(ph(0) < 3.5);
  CHECK(std::abs(ph(0.5 * 0.4) - 5) < 0.3);  // half of the 10 mmol in 100 g
  CHECK(ph(1.1 * 0.4) > 11);
}
