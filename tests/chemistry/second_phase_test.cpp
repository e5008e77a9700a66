// SPDX-License-Identifier: MIT
// The neutral form in oil, in micelles, as crystals, and held by the gas above.
#include "rows.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace counterion;

namespace {

const Conditions ideal{.activity = Activity::ideal};
const Protolyte benzoic(0, {{4.2}}, "benzoic acid");

/// The solution brought to a pH by strong acid or alkali.
Solution held_at(std::vector<Amount> amounts, double ph, const Conditions& conditions = ideal) {
  const Molality charge = Solution(amounts, conditions).strong_charge_for(pH(ph));
  return Solution(amounts, conditions, charge);
}

double free_neutral(const Amount& amount, double ph) {
  return in_mol_per_kg(held_at({amount}, ph).free_neutral(0));
}

/// Carbonic acid beside a gas with this much CO2.
Amount open_to(double henry_constant, double atmospheres, double pK) {
  NeutralForm gas;
  gas.solubility = henry_constant * atmospheres;
  gas.held = true;
  return {Protolyte(0, {{pK}, {10.33}}, "carbonic acid"), mol_per_kg(0), gas};
}

}  // namespace

// Walstra P, Physical Chemistry of Foods, Marcel Dekker (2003), section 2.2, Question 2: oil fraction 0.2,
// 0.01 mol acid per litre of emulsion, partition 1, dimers 1e4 L/mol in the oil, K 1.25e-5, pH 4.90.
// Printed: 0.00137 mol/L in the water (neutral), 0.0078 mol per litre or 78 % of the acid in the oil.
TEST_CASE("an acid that ionises in water and pairs in oil shares itself as the book says") {
  const double K = 1.25e-5, water = 0.8, oil = 0.2;
  const Protolyte acid(0, {{-std::log10(K)}});
  const Amount amount{acid, mol_per_kg(0.01 / water), shared_with_oil(1, oil / water, 1e4)};
  const double x = free_neutral(amount, 4.90);
  CHECK(x == doctest::Approx(0.00137).epsilon(0.004));
  const double in_oil = oil * (x + 2e4 * x * x);
  CHECK(in_oil == doctest::Approx(0.0078).epsilon(0.01));
  CHECK(in_oil / 0.01 == doctest::Approx(0.78).epsilon(0.007));
}

// J. Soc. Cosmet. Chem. 16, 18 (1965), Tables I and II: C_w = C (φ + 1)/(K φ + 1), φ the ratio oil to water.
TEST_CASE("what is left of a neutral preservative in the water is the printed amount") {
  struct Printed {
    double K, percent;
    std::vector<double> in_water;
    double allowed;
  };
  const std::vector<double> ratio{0.2, 1.0, 2.5, 5.0, 10.0};
  for (const auto& [K, percent, in_water, allowed] :
       {Printed{0.067, 0.4, {0.474, 0.750, 1.199, 1.799, 2.636}, 0.002},   // phenol, liquid paraffin
        Printed{116.7, 4.0, {0.197, 0.068, 0.048, 0.0411, 0.038}, 0.0005}})  // chlorocresol, arachis oil
    for (std::size_t i = 0; i < ratio.size(); ++i) {
      const double per_water = percent * (ratio[i] + 1) / 1000;
      const Amount amount{Protolyte(0, {{30}}), mol_per_kg(per_water), shared_with_oil(K, ratio[i])};
      CHECK(std::abs(1000 * free_neutral(amount, 7) - in_water[i]) <= allowed);
    }
}

// J. Soc. Cosmet. Chem. 23(11), 716 (1972), Table VIII: methylparaben 0.2 %, liquid paraffin, K 0.02,
// at most 0.24 % in the water.
TEST_CASE("the water holds no more of a preservative than it can") {
  const std::vector<double> ratio{0.11, 0.25, 0.43, 0.66, 1.00}, printed{0.22, 0.24, 0.24, 0.24, 0.24};
  for (std::size_t i = 0; i < ratio.size(); ++i) {
    NeutralForm oil = shared_with_oil(0.02, ratio[i]);
    oil.solubility = 0.24 / 1000;
    const Amount amount{Protolyte(0, {{30}}), mol_per_kg(0.2 * (ratio[i] + 1) / 1000), oil};
    const Solution solution = held_at({amount}, 7);
    CHECK(1000 * in_mol_per_kg(solution.free_neutral(0)) == doctest::Approx(printed[i]).epsilon(0.01));
    CHECK(solution.is_saturated(0) == (i > 0));
  }
}

// From memory, not seen: Martin's Physical Pharmacy, after Garrett and Woods (1953). Benzoic acid, equal
// volumes of peanut oil and water at pH 4.0, K 5.33, Ka 6.4e-5: 0.25 mg/mL free in the water asks 1.74.
TEST_CASE("the pharmacy text's benzoic acid beside peanut oil comes out") {
  const Protolyte acid(0, {{-std::log10(6.4e-5)}});
  const Amount amount{acid, mol_per_kg(1.74), shared_with_oil(5.33, 1)};
  CHECK(free_neutral(amount, 4.0) == doctest::Approx(0.25).epsilon(0.003));
}

// Common practice: 10/232 mol/L phenobarbital, 0.005 mol/L of the acid soluble, pK 7.4; given answer 8.3.
TEST_CASE("an acid falls out of its salt below the pH of precipitation") {
  NeutralForm crystals;
  crystals.solubility = 0.005;
  const Amount amount{Protolyte(0, {{7.4}}), mol_per_kg(0.0431), crystals};
  CHECK_FALSE(held_at({amount}, 8.29).is_saturated(0));
  CHECK(held_at({amount}, 8.27).is_saturated(0));
  const Solution below = held_at({amount}, 6.8);  // common practice: 0.00625 mol/L stay dissolved
  CHECK(in_mol_per_kg(below.free_neutral(0)) / below.shares(0)[0] == doctest::Approx(0.00625).epsilon(0.002));
}

// Food Additives Data Book, p. 733 (20 °C): sorbic acid 0.15 % at pH 3.1, 0.22 % at pH 4.4.
TEST_CASE("sorbic acid dissolves as the data book has it, more where it is ionised") {
  NeutralForm crystals;
  crystals.solubility = 0.147;
  const Amount amount{Protolyte(0, {{4.76}}), mol_per_kg(10), crystals};
  for (const auto& [ph, percent] : {std::pair{3.1, 0.15}, {4.4, 0.22}}) {
    const Solution solution = held_at({amount}, ph);
    CHECK(0.147 / solution.shares(0)[0] == doctest::Approx(percent).epsilon(0.05));
  }
}

// James Cook University, course CH3041, lecture 5: K_H 3.38e-2 mol/(L atm), pK 6.35, 350 ppm: pH 5.64.
TEST_CASE("water open to air reads 5.6") {
  CHECK(Solution(std::vector{open_to(3.38e-2, 350e-6, 6.35)}, ideal).ph().value() ==
        doctest::Approx(5.64).epsilon(0.0005));
  // Plummer and Busenberg (1982) at 25 °C, NOAA's mean of the air of 2025.
  const Solution today(std::vector{open_to(0.03405, 425.64e-6, 6.352)});
  CHECK(today.ph().value() == doctest::Approx(5.60).epsilon(0.002));
}

TEST_CASE("a solution open to air ends where one with that much carbon dioxide closed in it ends") {
  const Amount air = open_to(0.034, 4.2e-4, 6.352);
  for (const double base : {1e-4, 1e-2}) {
    const Solution open(std::vector{air}, {}, mol_per_kg(base));
    const double total = in_mol_per_kg(open.free_neutral(0)) / open.shares(0)[0];
    const Solution closed(std::vector{Amount{std::get<Protolyte>(air.what), mol_per_kg(total)}}, {},
                          mol_per_kg(base));
    CHECK(closed.ph().value() == doctest::Approx(open.ph().value()).epsilon(1e-6));
    CHECK(open.buffer_capacity() > closed.buffer_capacity());
  }
}

// Heard and Ashworth, J. Pharm. Pharmacol. 505 (1968), abstract: polysorbate 80 at 1.0 and 3.0 % takes 37.5
// and 70.0 % of chlorhexidine, total/free 1.60 and 3.33: one constant for both is right within 15 %.
TEST_CASE("micelles take what one constant per percent says") {
  for (const auto& [percent, taken] : {std::pair{1.0, 0.375}, {3.0, 0.700}}) {
    NeutralForm micelles;
    micelles.elsewhere = 0.68 * percent;
    const double free = free_neutral({Protolyte(0, {{30}}), mol_per_kg(1e-3), micelles}, 7) / 1e-3;
    CHECK(1 / free == doctest::Approx(1 / (1 - taken)).epsilon(0.15));
  }
}

TEST_CASE("oil makes a weak acid weaker by the logarithm of what it holds") {
  const double plain = free_neutral({benzoic, mol_per_kg(0.01)}, 4.2);
  const Amount beside_oil{benzoic, mol_per_kg(0.01), shared_with_oil(9, 1)};
  const Solution solution = held_at({beside_oil}, 5.2);
  CHECK(plain == doctest::Approx(0.005).epsilon(1e-9));
  const double neutral = in_mol_per_kg(solution.free_neutral(0));
  CHECK(neutral == doctest::Approx(0.01 / 20).epsilon(1e-9));
  CHECK(solution.shares(0)[0] == doctest::Approx(1.0 / 11).epsilon(1e-9));
}

TEST_CASE("a neutral form that leaves the water must exist, and its ratios be ratios") {
  NeutralForm odd;
  odd.elsewhere = -1;
  odd.held = true;
  const std::vector<Amount> amounts{{Protolyte(-1, {{7.2}}, "phosphate"), mol_per_kg(0.1), shared_with_oil(1, 1)},
                                    {StrongIon{"sodium", 1}, mol_per_kg(0.1), shared_with_oil(1, 1)},
                                    {benzoic, mol_per_kg(0.1), odd}};
  try {
    const Solution solution(amounts);
    FAIL("it was taken");
  } catch (const BadInput& bad) {
    REQUIRE(bad.problems().size() == 4);
    CHECK(bad.problems()[0].found.find("phosphate") != std::string::npos);
    CHECK(bad.problems()[1].found.find("sodium") != std::string::npos);
    CHECK(bad.problems()[2].found.find("benzoic acid") != std::string::npos);
  }
}

TEST_CASE("a dose reaches its target beside oil, crystals and air, the water growing") {
  NeutralForm crystals;
  crystals.solubility = 0.027;
  const std::vector<std::vector<Amount>> batches{
      {{benzoic, mol_per_kg(0.05), shared_with_oil(5.33, 0.4, 100)}},
      {{benzoic, mol_per_kg(0.05), crystals}},
      {{Protolyte(0, {{3.1}, {4.8}, {6.4}}), mol_per_kg(0.1)}, open_to(0.034, 4.2e-4, 6.352)}};
  const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}, grams(400)};
  for (const auto& batch : batches) {
    const Solution solution(batch);
    const Dose dose = dose_for(solution, lye, pH(5));
    REQUIRE(dose.amount);
    const double water = 1 + 0.4 * *dose.amount;
    std::vector<Amount> after;
    for (const auto& part : batch)
      after.push_back({part.what, mol_per_kg(in_mol_per_kg(part.molality) / water),
                       part.neutral.in_more_water(water)});
    const Solution again(after, {}, mol_per_kg(*dose.amount / water));
    CHECK(std::abs(again.ph().value() - 5) <= 1e-9);
  }
}

TEST_CASE("reserves that dissolve one another without end are refused by name") {
  NeutralForm reserve;
  reserve.solubility = 0.01;
  reserve.held = true;
  const std::vector<Amount> amounts{{Protolyte(0, {{-2}}, "strong acid"), mol_per_kg(0), reserve},
                                    {Protolyte(3, {{7}, {11}, {15}}, "strong base"), mol_per_kg(0), reserve}};
  try {
    const Solution solution(amounts);
    FAIL("it was taken");
  } catch (const BadInput& bad) {
    REQUIRE(bad.problems().size() == 2);
    CHECK(bad.problems()[0].found.find("strong acid") != std::string::npos);
  }
}
