// SPDX-License-Identifier: MIT
// What the reference tables make of materials in water, and of what stands in real formulas.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <counterion/formula/read.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace counterion;

namespace {

std::optional<double> ph_of(const std::string& ingredient, double percent, double celsius_degrees,
                            const Tables& tables) {
  auto formula = samples::formula_of({{ingredient, percent}});
  Conditions conditions;
  conditions.temperature = celsius(celsius_degrees);
  const auto phase = water_phase_of(formula, tables, conditions);
  return phase ? std::optional(predict(*phase, 0).ph) : std::nullopt;
}

/// Within a printed span and a margin of 0.3.
bool is_inside(double ph, double low, double high) {
  return ph >= low - 0.3 && ph <= high + 0.3;
}

/// Tables that have forgotten every pH that a raw material was declared at.
Tables without_declared_ph() {
  std::string text = "subject,kind,source\n";
  for (const auto& ingredient : Tables::built_in().ingredients())
    for (const auto& row : Tables::built_in().ranges_of(ingredient.id))
      if (row.kind == "as-supplied" && row.rank == 1)
        text += std::string(ingredient.id) + ",as-supplied,withdrawn\n";
  const std::vector<Tables::NamedText> own{{"ranges", "withdrawn.csv", text}};
  return Tables::built_in().with_texts(own);
}

/// Whether what a material brings decides its pH: an acid or base that can buffer near the span.
bool is_buffered(std::string_view ingredient, double low, double high) {
  for (const auto& part : material_of(ingredient, Tables::built_in()).parts)
    for (const auto& piece : part.pieces)
      for (const auto& row : Tables::built_in().constants_of(piece.substance->id))
        if (row.quantity == "pK" && row.rank == 1 && row.value > low - 1.5 &&
            row.value < high + 1.5)
          return true;
  return false;
}

}  // namespace

TEST_CASE("solutions of common materials have the pH that was published for them") {
  std::size_t judged = 0, inside = 0;
  for (const auto& row : test::rows_of_file("answers/data/solutions.csv")) {
    const auto ph = ph_of(row.text("ingredient"), row.number("percent"),
                          row.number("temperature_celsius"), Tables::built_in());
    REQUIRE(ph);
    const bool fits = is_inside(*ph, row.number("pH_low"), row.number("pH_high"));
    MESSAGE(row.text("ingredient")
            << " " << row.text("percent") << " %: " << *ph << ", published " << row.text("pH_low")
            << " to " << row.text("pH_high") << std::string(fits ? "" : "  MISSED ")
            << row.text("if_missed"));
    if (row.text("reliability") != "looked-up") continue;
    ++judged;
    inside += fits;
    CHECK((fits || row.has("if_missed")));
  }
  MESSAGE(inside << " of " << judged << " looked-up rows inside");
  CHECK(static_cast<double>(inside) >= 0.85 * static_cast<double>(judged));
}

// The printed pH of the tables' own looked-up rows, foreseen without them: from composition and pK
// alone.
TEST_CASE("composition and constants alone foresee the printed pH of what buffers itself") {
  const auto bare = without_declared_ph();
  std::size_t judged = 0, inside = 0;
  for (const auto& ingredient : Tables::built_in().ingredients())
    for (const auto& row : Tables::built_in().ranges_of(ingredient.id)) {
      const bool printed = row.kind == "as-supplied" && row.minimum && row.maximum &&
                           row.at_percent &&
                           row.provenance.reliability == tables::Reliability::looked_up;
      if (!printed || !is_buffered(ingredient.id, *row.minimum, *row.maximum)) continue;
      const auto ph = ph_of(std::string(ingredient.id), *row.at_percent, 25, bare);
      if (!ph) continue;
      const bool fits = is_inside(*ph, *row.minimum, *row.maximum);
      ++judged;
      inside += fits;
      if (!fits)
        MESSAGE(row.provenance.row_id << ": " << *ph << ", printed " << *row.minimum << " to "
                                      << *row.maximum);
    }
  MESSAGE(inside << " of " << judged << " inside");
  CHECK(judged >= 30);
  CHECK(static_cast<double>(inside) >= 0.7 * static_cast<double>(judged));
}

// Names as published compositions and practitioners' notes write them; each must mean something.
TEST_CASE("every material of real compositions is found") {
  for (const auto& row : test::rows_of_file("answers/data/field_names.csv")) {
    CAPTURE(row.text("name"));
    CHECK_FALSE(Tables::built_in().meanings(row.text("name")).empty());
  }
}

// log K of dissolution as the rows say; printed beside: saturated magnesium hydroxide about 10.4,
// lime water 12.4 to 12.5 (textbook figures, from memory).
TEST_CASE(
    "what hardly dissolves has the pH of its saturated solution, and all of it takes up acid") {
  const auto& tables = Tables::built_in();
  CHECK(*ph_of("magnesium-hydroxide", 1, 25, tables) == doctest::Approx(10.4).epsilon(0.02));
  CHECK(*ph_of("magnesium-hydroxide", 10, 25, tables) == doctest::Approx(10.4).epsilon(0.02));
  CHECK(*ph_of("calcium-hydroxide", 2, 25, tables) == doctest::Approx(12.45).epsilon(0.01));
  const auto slurry = [&](double citric_acid) {
    return predict(
               *water_phase_of(
                   samples::formula_of({{"zinc-oxide", 1}, {"citric-acid", citric_acid}}), tables),
               0)
        .ph;
  };
  CHECK(slurry(0.5) > 6);  // 24.6 meq of oxide against 7.8 meq of acid in 100 g
  CHECK(slurry(3) < 5);
}

TEST_CASE("two statements about a residue leave what both allow, and a user's own goes first") {
  const auto residual = [](const std::string& declared, const std::string& level) {
    const std::string range =
        "subject,kind,minimum,maximum,at_percent,reliability\npowder,as-supplied," + declared +
        ",10,memory\n";
    const std::string charge =
        "subject,kind,value,upper_value,unit,reliability\npowder,residual-charge," + level + "\n";
    const std::vector<Tables::NamedText> own{
        {"ingredients", "i.csv", "id,inci\npowder,Powder\n"},
        {"composition", "c.csv", "ingredient,component,mass_fraction\npowder,inert,1\n"},
        {"ranges", "r.csv", range},
        {"levels", "l.csv", charge}};
    return material_of("powder", Tables::built_in().with_texts(own)).residual;
  };
  // pH 11 to 12 at 10 % is about 0.009 to 0.1 meq/g.
  const auto both = residual("11,12", "0.05,0.2,meq_per_g,memory");
  CHECK(both.low_mol_per_g == doctest::Approx(0.05e-3));
  CHECK(both.high_mol_per_g < 0.12e-3);
  const auto narrower = residual("11,12", "-0.01,-0.005,meq_per_g,memory");
  CHECK(narrower.high_mol_per_g == doctest::Approx(-0.005e-3));
  const auto own = residual("11,12", "0.2,0.9,meq_per_g,own");
  CHECK(own.low_mol_per_g == doctest::Approx(0.2e-3));
}

TEST_CASE("a declared pH holds whatever the content that it was worked out with") {
  const auto honey =
      predict(*water_phase_of(samples::formula_of({{"honey", 10}}), Tables::built_in()), 0);
  CHECK(honey.p95 < 7);  // declared 3.4 to 6.1
}

TEST_CASE(
    "several open names are asked about together, and so is a strength that decides a limit") {
  const auto asked = [](std::vector<std::pair<std::string, double>> lines) {
    std::string sheet = "ingredient,percent\n";
    for (const auto& [name, percent] : lines)
      sheet += "\"" + name + "\"," + std::to_string(percent) + "\n";
    auto formula = read_formula(sheet + "water,q.s.\n", "f.csv", Tables::built_in(), {});
    formula.product_type = "hair";
    formula.use = "rinse-off";
    return must_be_said(questions_of(formula, Tables::built_in()), formula).size();
  };
  CHECK(asked({{"sodium-hydroxide", 2},
               {"citric acid", 1.5},
               {"citric acid", 1.5},
               {"citric acid", 1.5}}) == 1);
  CHECK(asked({{"citric acid", 0.2}}) == 0);
  CHECK(asked({{"hydrogen peroxide", 45}}) == 1);
}

TEST_CASE("where the kind of product is not stated the strictest limit of skin products counts") {
  auto formula = samples::formula_of({{"retinol", 0.1}}, "", "");
  formula.product_type = "", formula.use = "";
  const auto limits = limits_of(formula, Tables::built_in(), Judging{"EU"});
  CHECK(std::ranges::any_of(limits, [](const CheckedLimit& limit) { return limit.exceeded; }));
}

TEST_CASE("a scalp product is limited as hair products are") {
  auto formula = samples::formula_of({{"salicylic-acid", 2.5}}, "scalp", "rinse-off");
  for (const auto& limit : limits_of(formula, Tables::built_in(), Judging{"EU"}))
    CHECK_FALSE(limit.exceeded);  // Annex III 98 (a): rinse-off hair products 3 %
  formula.product_type = "body";
  CHECK(std::ranges::any_of(limits_of(formula, Tables::built_in(), Judging{"EU"}),
                            [](const CheckedLimit& limit) { return limit.exceeded; }));
}

// Consistency, not truth: what a material was declared at is what the engine makes of it again.
TEST_CASE("every material reads alone what it was declared at") {
  const auto& tables = Tables::built_in();
  std::size_t declared = 0;
  for (const auto& ingredient : tables.ingredients())
    for (const auto& row : tables.ranges_of(ingredient.id)) {
      if (row.kind != "as-supplied" || row.rank != 1 || !row.minimum || !row.maximum) continue;
      const auto ph = ph_of(std::string(ingredient.id), row.at_percent.value_or(100), 25, tables);
      if (!ph) continue;
      CAPTURE(row.provenance.row_id);
      ++declared;
      if (ingredient.id == "boric-acid") continue;  // polyborates, which make it more acid, are not in
      CHECK(is_inside(*ph, *row.minimum, *row.maximum));
    }
  MESSAGE(declared << " declared pH");
  CHECK(declared >= 300);
}
