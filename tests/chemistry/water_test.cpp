// SPDX-License-Identifier: MIT
// Water against tables of handbooks and releases, 0 to 80 °C.
#include "rows.hpp"

#include <doctest/doctest.h>

using namespace counterion;

namespace {

double value_of(const test::Row& row) {
  const double t = row.number("temperature_celsius");
  const std::string& quantity = row.text("quantity");
  if (quantity == "density") return chemistry::water_density(t);
  if (quantity == "permittivity") return chemistry::water_permittivity(t);
  if (quantity == "debye_huckel_A") return chemistry::water_at(t).debye_huckel_A;
  if (quantity == "debye_huckel_B") return chemistry::water_at(t).debye_huckel_B;
  const double density = row.number_or("density_g_per_cm3", chemistry::water_density(t));
  return chemistry::water_pKw(t + ice_point_kelvin, density);
}

/// Deviations by quantity, from the rows that `wanted` takes.
template <class Wanted>
std::map<std::string, test::Deviations> deviations_where(Wanted&& wanted) {
  std::map<std::string, test::Deviations> deviations;
  for (const auto& row : test::rows_of("water.csv"))
    if (wanted(row))
      deviations[row.text("quantity")].add(
          value_of(row) - row.number("value"),
          row.text("temperature_celsius") + " °C, printed " + row.text("value"));
  return deviations;
}

bool at_a_given_density(const test::Row& row) {
  return row.has("density_g_per_cm3");
}

}  // namespace

TEST_CASE("water's density, permittivity, ion product and Debye-Hückel slope follow the tables") {
  const auto found =
      deviations_where([](const auto& row) { return row.judges() && !at_a_given_density(row); });
  for (const auto& [quantity, deviations] : found)
    MESSAGE(quantity << ": " << deviations.summary());
  CHECK(found.at("density").worst() <= 1e-4);
  CHECK(found.at("permittivity").worst() <= 0.2);
  CHECK(found.at("pKw").worst() <= 0.025);
  CHECK(found.at("debye_huckel_A").worst() <= 0.001);
}

TEST_CASE("water's density agrees with a seven-digit table up to 30 °C") {
  const auto found = deviations_where([](const auto& row) {
    return row.text("quantity") == "density" && row.number("temperature_celsius") <= 30;
  });
  MESSAGE(found.at("density").summary());
  CHECK(found.at("density").worst() <= 5e-6);
}

TEST_CASE("the ion product's formula gives the values that others computed at given densities") {
  const auto found = deviations_where([](const auto& row) {
    return row.judges() && at_a_given_density(row) && row.number("temperature_celsius") < 80;
  });
  MESSAGE(found.at("pKw").summary());
  CHECK(found.at("pKw").count() == 2);
  CHECK(found.at("pKw").worst() <= 2e-4);
}

TEST_CASE("the ion product's formula gives the release's verification values as remembered") {
  const auto found =
      deviations_where([](const auto& row) { return !row.judges() && at_a_given_density(row); });
  MESSAGE(found.at("pKw").summary());
  WARN(found.at("pKw").worst() <= 1e-6);
}

TEST_CASE("remembered tables of water are reported") {
  const auto found =
      deviations_where([](const auto& row) { return !row.judges() && !at_a_given_density(row); });
  for (const auto& [quantity, deviations] : found)
    MESSAGE(quantity << ": " << deviations.summary());
}

TEST_CASE("the Debye-Hückel slopes agree with those of an independent engine to 0.3 %") {
  test::Deviations A, B;
  for (const auto& row : test::rows_of("engine_reference.csv")) {
    const Water water = chemistry::water_at(row.number("temperature_celsius"));
    A.add(water.debye_huckel_A / row.number("debye_huckel_A") - 1, row.text("temperature_celsius"));
    B.add(water.debye_huckel_B / row.number("debye_huckel_B_per_angstrom") - 1,
          row.text("temperature_celsius"));
  }
  MESSAGE("A, relative: " << A.summary());
  MESSAGE("B, relative: " << B.summary());
  CHECK(A.worst() <= 0.003);
  CHECK(B.worst() <= 0.003);
}

TEST_CASE("pure water is neutral: its pH is half its pKw, whatever the temperature") {
  for (double t = 0; t <= 80; t += 5) {
    const Solution water({}, {celsius(t)});
    CHECK(water.ph().value() == doctest::Approx(water.water().pKw / 2).epsilon(1e-9));
  }
}
