// SPDX-License-Identifier: MIT
// pK against temperature after Clarke and Glew.
#include "rows.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;
using chemistry::pK_at;

TEST_CASE("measured pK from 5 to 60 °C follow from enthalpy and heat capacity measured by others") {
  const auto protolytes = test::protolytes_of("constants.csv");
  test::Deviations deviations;
  for (const auto& row : test::rows_of("pK_by_temperature.csv")) {
    const Ionisation& step = protolytes.at(row.text("substance")).steps()[0];
    const double pK = pK_at(step, row.number("temperature_celsius") + ice_point_kelvin);
    deviations.add(pK - row.number("pK"),
                   row.text("substance") + " at " + row.text("temperature_celsius") + " °C");
  }
  MESSAGE(deviations.summary());
  CHECK(deviations.worst() <= 0.015);
}

TEST_CASE("at 25 °C the pK is the one given") {
  CHECK(pK_at({7.198, 3.6, -230}, chemistry::reference_kelvin) ==
        doctest::Approx(7.198).epsilon(1e-15));
}

TEST_CASE("the slope of pK at 25 °C is the enthalpy's (van 't Hoff)") {
  const double T = chemistry::reference_kelvin, d = 0.01;
  for (const double dH : {-22.4, 0.0, 3.6, 51.95}) {
    const Ionisation step{5, dH, -250};
    const double slope = (pK_at(step, T + d) - pK_at(step, T - d)) / (2 * d);
    const double expected =
        -dH * 1000 / (chemistry::ln10 * chemistry::gas_constant_J_per_mol_K * T * T);
    CHECK(std::abs(slope - expected) < 1e-9);
  }
}

TEST_CASE("the enthalpy itself changes with temperature by the heat capacity (Kirchhoff)") {
  const double T = 333.15, d = 0.01, dCp = -230;
  const Ionisation step{7.198, 3.6, dCp};
  const double slope = (pK_at(step, T + d) - pK_at(step, T - d)) / (2 * d);
  const double enthalpy = 3600 + dCp * (T - chemistry::reference_kelvin);
  const double expected =
      -enthalpy / (chemistry::ln10 * chemistry::gas_constant_J_per_mol_K * T * T);
  CHECK(slope == doctest::Approx(expected).epsilon(1e-6));
}

TEST_CASE("a half neutralised tris buffer falls by about 0.28 for every ten degrees") {
  const auto tris = test::protolytes_of("constants.csv").at("tromethamine");
  const std::vector<Amount> amounts{{tris, mol_per_kg(0.02)},
                                    {StrongIon{"chloride", -1}, mol_per_kg(0.01)}};
  const double fall =
      Solution(amounts, {celsius(20)}).ph().value() - Solution(amounts, {celsius(30)}).ph().value();
  CHECK(fall == doctest::Approx(0.28).epsilon(0.02));
}
