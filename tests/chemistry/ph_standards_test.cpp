// SPDX-License-Identifier: MIT
// The buffers that define the pH scale, with Davies' equation and our own constants of water.
#include "rows.hpp"

#include <doctest/doctest.h>

using namespace counterion;

namespace {

using Amounts = std::vector<Amount>;

/// Compositions in mol per kg of water; the tartrate is what 25 °C saturates (about 0.0341).
std::map<std::string, Amounts> standards() {
  const auto acids = test::protolytes_of("constants.csv");
  const StrongIon sodium{"sodium", 1}, potassium{"potassium", 1};
  return {
      {"phthalate", {{acids.at("phthalic"), mol_per_kg(0.05)}, {potassium, mol_per_kg(0.05)}}},
      {"phosphate",
       {{acids.at("phosphoric"), mol_per_kg(0.05)},
        {potassium, mol_per_kg(0.025)},
        {sodium, mol_per_kg(0.05)}}},
      {"borax", {{acids.at("boric"), mol_per_kg(0.04)}, {sodium, mol_per_kg(0.02)}}},
      {"tartrate", {{acids.at("tartaric"), mol_per_kg(0.0341)}, {potassium, mol_per_kg(0.0341)}}},
  };
}

Solution solution_of(const Amounts& amounts, const test::Row& row) {
  Conditions conditions;
  conditions.temperature = celsius(row.number("temperature_celsius"));
  return Solution(amounts, conditions);
}

std::string place_of(const test::Row& row) {
  return row.text("temperature_celsius") + " °C, printed " + row.text("value");
}

}  // namespace

TEST_CASE("phthalate, phosphate and borax read within 0.02 of the standards at 25 °C") {
  const auto amounts = standards();
  std::map<std::string, test::Deviations> deviations;
  for (const auto& row : test::rows_of("ph_standards.csv")) {
    if (row.text("quantity") != "pH" || !row.judges() || row.text("standard") == "tartrate")
      continue;
    if (row.number("temperature_celsius") != 25) continue;
    const Solution solution = solution_of(amounts.at(row.text("standard")), row);
    deviations[row.text("standard")].add(solution.ph().value() - row.number("value"),
                                         place_of(row));
  }
  CHECK(deviations.size() == 3);
  for (const auto& [standard, found] : deviations) {
    MESSAGE(standard << " at 25 °C: " << found.summary());
    CHECK(found.worst() <= 0.02);
  }
}

// The heat capacities of phthalic and tartaric acid are remembered, so this reports and judges
// nothing.
TEST_CASE("the standards from 0 to 50 °C are reported") {
  const auto amounts = standards();
  std::map<std::string, test::Deviations> deviations;
  test::Deviations all;
  for (const auto& row : test::rows_of("ph_standards.csv")) {
    if (row.text("quantity") != "pH" || !row.judges()) continue;
    if (row.number("temperature_celsius") > 50) continue;
    const Solution solution = solution_of(amounts.at(row.text("standard")), row);
    const double deviation = solution.ph().value() - row.number("value");
    deviations[row.text("standard")].add(deviation, place_of(row));
    all.add(deviation, row.text("standard") + " " + place_of(row));
  }
  for (const auto& [standard, found] : deviations)
    MESSAGE(standard << ", 0 to 50 °C: " << found.summary());
  MESSAGE("all standards, 0 to 50 °C: " << all.summary());
  WARN(all.rms() <= 0.012);
  WARN(all.worst() <= 0.02);
}

TEST_CASE("the standards' buffer values are the ones printed beside them") {
  const auto amounts = standards();
  int rows = 0;
  for (const auto& row : test::rows_of("ph_standards.csv")) {
    if (row.text("quantity") != "buffer capacity") continue;
    const Solution solution = solution_of(amounts.at(row.text("standard")), row);
    INFO(row.text("standard"));
    CHECK(solution.buffer_capacity() == doctest::Approx(row.number("value")).epsilon(0.06));
    ++rows;
  }
  CHECK(rows == 4);
}
