// SPDX-License-Identifier: MIT
// What stands beside the water in a whole formula: oil, micelles, solvents, crystals, air, polymers.
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace counterion;

namespace {

using Items = std::vector<std::pair<std::string, double>>;

PreservativeState state_of(const Items& items, double target) {
  CheckOptions options;
  options.target = pH(target);
  const auto states = check(samples::formula_of(items), Tables::built_in(), options).preservation.acids;
  REQUIRE(states.size() == 1);
  return states.front();
}

const Items sorbate{{"citric-acid", 0.3}, {"potassium-sorbate", 0.3}};

Items with(Items items, const std::string& id, double percent) {
  items.emplace_back(id, percent);
  return items;
}

/// The adjustment with sodium hydroxide to a pH.
Adjustment lye_for(const Items& items, double target) {
  CheckOptions options;
  options.target = pH(target);
  options.adjusters = {"sodium-hydroxide"};
  return check(samples::formula_of(items), Tables::built_in(), options).adjustments.at(0);
}

}  // namespace

TEST_CASE("oil takes of a preservative what its partition says, and the active amount falls by it") {
  const auto plain = state_of(sorbate, 4.5), creamy = state_of(with(sorbate, "sunflower-seed-oil", 20), 4.5);
  CHECK(plain.share_held == 0);
  // 20 % oil beside 79.4 % water: 0.2/0.9 litres beside 0.794 kg; partition 5.01 (the tables' row).
  const double per_free = 5.01 * (0.2 / 0.9) / 0.794;
  const double expected = plain.share_at_target.value() / (1 + plain.share_at_target.value() * per_free);
  CHECK(creamy.share_at_target.value() == doctest::Approx(expected).epsilon(0.01));
  CHECK(creamy.share_held == doctest::Approx(expected * per_free).epsilon(0.01));
  REQUIRE(plain.highest_ph);
  REQUIRE(creamy.highest_ph);
  CHECK(*creamy.highest_ph < *plain.highest_ph);
}

TEST_CASE("micelles of a polysorbate take their part too") {
  CHECK(state_of(with(sorbate, "polysorbate-20", 3), 4.5).share_held > 0.1);
}

TEST_CASE("an unknown oil leaves the active amount unsure, and the interval says so") {
  const auto formula = samples::formula_of(with(sorbate, "cetearyl-alcohol", 20));
  const auto phase = water_phase_of(formula, Tables::built_in());
  REQUIRE(phase);
  CHECK(std::any_of(phase->drivers.begin(), phase->drivers.end(), [](const Driver& driver) {
    return driver.kind == DriverKind::partition && driver.high > 0.5;
  }));
}

TEST_CASE("what the water cannot hold of an acid is said, and the parts add up") {
  const auto prediction = samples::predicted({{"sodium-benzoate", 1}, {"citric-acid", 3}});
  REQUIRE(prediction.saturated.size() == 1);
  CHECK(prediction.saturated[0].substance == "benzoic-acid");
  const double as_acid = 1 * 122.12 / 144.11;  // 1 % sodium benzoate, counted as acid
  CHECK(prediction.saturated[0].percent_out > 0.3);
  CHECK(prediction.saturated[0].percent_out + prediction.saturated[0].percent_held < as_acid);
  CHECK(samples::predicted({{"sodium-benzoate", 0.2}, {"citric-acid", 3}}).saturated.empty());
}

// Ethanol, J. Res. Natl. Bur. Stand. 71A, 379 (1967), Table 1: pK of benzoic acid 4.210 in water, 4.918
// at 25.2 % by weight, as a meter set in water reads it.
TEST_CASE("a quarter of ethanol lifts the pH of a half neutralised benzoic acid by 0.7") {
  const auto step = [](double ethanol) {
    Items items{{"sodium-benzoate", 0.1}};
    if (ethanol > 0) items.emplace_back("ethanol-96", ethanol);
    const auto phase = water_phase_of(samples::formula_of(items), Tables::built_in());
    return phase->protolytes[*phase->protolyte("benzoic-acid")].steps()[0];
  };
  CHECK(std::abs(step(25.2 / 0.938).pK - step(0).pK - 0.708) <= 0.04);
  CHECK(step(25.2 / 0.938).uncertainty > step(0).uncertainty);
}

TEST_CASE("so much alcohol that a meter no longer reads what is computed is said") {
  const auto prediction = samples::predicted({{"ethanol-96", 60}, {"lactic-acid-80", 1}});
  CHECK_FALSE(prediction.activity_within_range);
  CHECK(prediction.validity.find("alcohol") != std::string::npos);
}

// No published figure stands behind these two bounds: closed is what the equation gives without air.
TEST_CASE("a salt without its acid runs from closed to open air where nobody declares its pH") {
  const std::vector<Tables::NamedText> own{
      {"ranges", "own.csv", "subject,kind,source\ntrisodium-citrate-dihydrate,as-supplied,withdrawn\n"}};
  const auto tables = Tables::built_in().with_texts(own);
  const auto phase = water_phase_of(samples::formula_of({{"trisodium-citrate-dihydrate", 4}}), tables);
  const auto prediction = predict(*phase);
  CHECK(prediction.p05 < 8.2);
  CHECK(prediction.p95 > 9.0);
}

// Handbook of Pharmaceutical Excipients (copy), Sodium Citrate Dihydrate: 7.5 to 8.5 at 5 % (JP 2001).
TEST_CASE("a declared pH narrows what a residue by itself leaves open") {
  const auto prediction = samples::predicted({{"trisodium-citrate-dihydrate", 5}});
  CHECK(prediction.p05 > 6.9);
  CHECK(prediction.p95 < 8.8);
}

// USP 28-NF 23, Carbomer 934P, Identification A: the 1 % dispersion is orange to thymol blue and yellow to
// cresol red, hence below 3 (the indicators' ranges from memory). Common practice: 0.5 % reads 2.5 to 3.5.
TEST_CASE("carbomer is as acid as the pharmacopoeia has it, and takes its base by stages") {
  CHECK(samples::predicted({{"carbomer", 1}}).ph < 3);
  const double half = samples::predicted({{"carbomer", 0.5}}).ph;
  CHECK(half >= 2.5);
  CHECK(half <= 3.5);
  // Memory, trade practice: about 0.43 g of sodium hydroxide a gram to pH 7.
  const Adjustment lye = lye_for({{"carbomer", 0.5}}, 7);
  REQUIRE(lye.possible);
  CHECK(lye.percent_of_ingredient / 0.5 == doctest::Approx(0.42).epsilon(0.06));
  CHECK(lye.ph_after == doctest::Approx(7).epsilon(0.001));
  CheckOptions options;
  options.target = pH(7);
  const auto result = check(samples::formula_of({{"carbomer", 0.5}}), Tables::built_in(), options);
  REQUIRE(result.polymers.size() == 1);
  CHECK(result.polymers[0].at_predicted < 0.05);
  CHECK(result.polymers[0].at_target.value() > 0.6);
  CHECK(result.polymers[0].at_target.value() < 0.9);
}

TEST_CASE("beyond Davies' range the interval reaches what specific interactions say, and the other model can be asked") {
  const Items phosphate{{"sodium-dihydrogen-phosphate-monohydrate", 14}, {"disodium-phosphate", 3}};
  const auto davies = samples::predicted(phosphate);
  CHECK_FALSE(davies.activity_within_range);
  CHECK(davies.validity.find("specific ion interactions") != std::string::npos);
  CheckOptions options;
  options.activity = Activity::specific_ion;
  const auto specific = check(samples::formula_of(phosphate), Tables::built_in(), options).prediction.value();
  CHECK(specific.activity_within_range);
  CHECK(specific.ph < davies.ph - 0.3);
  CHECK(davies.p05 <= specific.ph);
}

TEST_CASE("a fatty acid comes with an apparent pK that is good to a unit, and says so") {
  const auto phase = water_phase_of(
      samples::formula_of({{"stearic-acid", 3}, {"triethanolamine-99", 1}}), Tables::built_in());
  REQUIRE(phase);
  CHECK(std::any_of(phase->drivers.begin(), phase->drivers.end(), [](const Driver& driver) {
    return driver.kind == DriverKind::constant && driver.high >= 1;
  }));
  const auto prediction = predict(*phase);
  CHECK(prediction.p95 - prediction.p05 > 0.5);
}

TEST_CASE("bicarbonate that is acidified runs from closed to open: the gas leaves and the pH climbs") {
  const auto prediction = samples::predicted({{"sodium-bicarbonate", 1}, {"citric-acid", 0.3}});
  CHECK(prediction.ph < 7);
  CHECK(prediction.p95 > 8.5);
  CHECK(prediction.p05 > prediction.ph - 0.3);
}

TEST_CASE("in much alcohol the solubility in water says nothing, and nothing is said to fall out") {
  const auto prediction =
      samples::predicted({{"ethanol-96", 45}, {"salicylic-acid", 2}, {"sodium-hydroxide", 0.1}});
  CHECK(prediction.saturated.empty());
  CHECK(prediction.ph < 3.8);
}

TEST_CASE("an amount that would leave no water phase is refused") {
  CheckOptions options;
  options.target = pH(4);
  options.adjusters = {"lactic-acid-80"};
  const auto result = check(samples::formula_of({{"sodium-chloride", 3}, {"citric-acid", 5},
                                                 {"sodium-hydroxide", 2}, {"sunflower-seed-oil", 85}}),
                            Tables::built_in(), options);
  REQUIRE(result.adjustments.size() == 1);
  CHECK_FALSE(result.adjustments[0].possible);
}

TEST_CASE("away from 25 °C an unknown enthalpy widens the interval") {
  const auto width = [](double t) {
    CheckOptions options;
    options.temperature = celsius(t);
    const auto p = check(samples::formula_of({{"arginine", 1}, {"arginine-hydrochloride", 1}}),
                         Tables::built_in(), options)
                       .prediction.value();
    return p.p95 - p.p05;
  };
  CHECK(width(60) > width(25) + 0.5);
}
