// SPDX-License-Identifier: MIT
// What the reference tables make of materials in water, and of what stands in real formulas.
#include "rows.hpp"
#include "samples.hpp"

#include <doctest/doctest.h>

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
bool is_inside(double ph, double low, double high) { return ph >= low - 0.3 && ph <= high + 0.3; }

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
        if (row.quantity == "pK" && row.rank == 1 && row.value > low - 1.5 && row.value < high + 1.5)
          return true;
  return false;
}

}  // namespace

TEST_CASE("solutions of common materials have the pH that was published for them") {
  std::size_t judged = 0, inside = 0;
  for (const auto& row : test::rows_of("solutions.csv")) {
    const auto ph = ph_of(row.text("ingredient"), row.number("percent"),
                          row.number("temperature_celsius"), Tables::built_in());
    REQUIRE(ph);
    const bool fits = is_inside(*ph, row.number("pH_low"), row.number("pH_high"));
    MESSAGE(row.text("ingredient") << " " << row.text("percent") << " %: " << *ph << ", published "
                                   << row.text("pH_low") << " to " << row.text("pH_high")
                                   << std::string(fits ? "" : "  MISSED ") << row.text("if_missed"));
    if (row.text("reliability") != "looked-up") continue;
    ++judged;
    inside += fits;
    CHECK((fits || row.has("if_missed")));
  }
  MESSAGE(inside << " of " << judged << " looked-up rows inside");
  CHECK(static_cast<double>(inside) >= 0.85 * static_cast<double>(judged));
}

// The printed pH of the tables' own looked-up rows, foreseen without them: from composition and pK alone.
TEST_CASE("composition and constants alone foresee the printed pH of what buffers itself") {
  const auto bare = without_declared_ph();
  std::size_t judged = 0, inside = 0;
  for (const auto& ingredient : Tables::built_in().ingredients())
    for (const auto& row : Tables::built_in().ranges_of(ingredient.id)) {
      const bool printed = row.kind == "as-supplied" && row.minimum && row.maximum && row.at_percent &&
                           row.provenance.reliability == tables::Reliability::looked_up;
      if (!printed || !is_buffered(ingredient.id, *row.minimum, *row.maximum)) continue;
      const auto ph = ph_of(std::string(ingredient.id), *row.at_percent, 25, bare);
      if (!ph) continue;
      const bool fits = is_inside(*ph, *row.minimum, *row.maximum);
      ++judged;
      inside += fits;
      if (!fits) MESSAGE(row.provenance.row_id << ": " << *ph << ", printed " << *row.minimum << " to " << *row.maximum);
    }
  MESSAGE(inside << " of " << judged << " inside");
  CHECK(judged >= 30);
  CHECK(static_cast<double>(inside) >= 0.7 * static_cast<double>(judged));
}

// Names as published compositions and practitioners' notes write them; each must mean something.
TEST_CASE("every material of real compositions is found") {
  for (const auto& row : test::rows_of("field_names.csv")) {
    CAPTURE(row.text("name"));
    CHECK_FALSE(Tables::built_in().meanings(row.text("name")).empty());
  }
}
