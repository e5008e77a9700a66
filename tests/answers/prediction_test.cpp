// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace counterion;

namespace {

double width(const Prediction& prediction) { return prediction.p95 - prediction.p05; }

const DriverEffect* air(const Prediction& prediction) {
  const auto found = std::find_if(prediction.drivers.begin(), prediction.drivers.end(), [](const auto& d) {
    return d.what == "carbon dioxide from the air";
  });
  return found == prediction.drivers.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("where nothing buffers the interval is wide, and carbon dioxide can only lower the pH") {
  const auto prediction = samples::predicted({{"glycerin", 5}});
  CHECK(width(prediction) > 1);
  REQUIRE(air(prediction));
  CHECK(air(prediction)->ph_low < prediction.ph - 0.3);
  CHECK(air(prediction)->ph_high == doctest::Approx(prediction.ph));
}

TEST_CASE("water left in the air goes towards pH 5.6") {
  const auto prediction = samples::predicted({});
  CHECK(prediction.ph == doctest::Approx(7.0).epsilon(0.01));
  REQUIRE(air(prediction));
  CHECK(air(prediction)->ph_low == doctest::Approx(5.6).epsilon(0.02));
}

TEST_CASE("a buffered formula has a narrow interval") {
  const auto citrate = samples::predicted({{"citric-acid", 1}, {"trisodium-citrate-dihydrate", 2}});
  const auto lactate = samples::predicted({{"lactic-acid-80", 1}, {"sodium-lactate-60", 4}});
  CHECK(width(citrate) < 0.3);
  CHECK(width(lactate) < 0.3);
  CHECK(citrate.buffer_capacity > 0.03);
}

TEST_CASE("each interval holds the predicted pH, and no driver alone reaches beyond it by much") {
  for (const auto& name : samples::names) {
    const auto prediction = check(samples::sample(name)).prediction.value();
    CAPTURE(name);
    CHECK(prediction.p05 < prediction.ph);
    CHECK(prediction.ph < prediction.p95);
    for (const auto& driver : prediction.drivers) {
      CAPTURE(driver.what);
      CHECK(driver.ph_low >= prediction.p05 - 0.1);
      CHECK(driver.ph_high <= prediction.p95 + 0.1);
    }
  }
}

TEST_CASE("the charges of all ingredients balance the free ions of water") {
  for (const auto& name : samples::names) {
    const auto prediction = check(samples::sample(name)).prediction.value();
    double sum = 0;
    for (const double charge : prediction.charge_meq_per_kg) sum += charge;
    const double free = (std::pow(10, -prediction.ph) - std::pow(10, prediction.ph - 13.995)) * 10 *
                        prediction.water_percent;
    CHECK(sum + free == doctest::Approx(0).epsilon(1).scale(0.02 + 0.4 * std::abs(free)));
  }
}

TEST_CASE("the hand wash comes out above pH 9, its glucoside is the reason, and citric acid mends it") {
  const auto formula = samples::sample("hand-wash");
  const auto result = check(formula);
  const auto& prediction = result.prediction.value();
  CHECK(prediction.ph > 9);
  CHECK(width(prediction) > 1);
  REQUIRE_FALSE(prediction.drivers.empty());
  CHECK(prediction.drivers.front().item == samples::line_of(formula, "decyl-glucoside-50"));
  const auto& citric = result.adjustments.front();
  CHECK(citric.adjuster.ingredient == "citric-acid");
  CHECK(citric.possible);
  CHECK(citric.grams > 5);
  CHECK(citric.grams_low < citric.grams);
  CHECK(citric.grams < citric.grams_high.value());
  CHECK(citric.stages.front().expected_ph > citric.target);
}

TEST_CASE("a pH declared on the line goes before the tables and narrows the interval") {
  auto formula = samples::sample("hand-wash");
  const double before = width(check(formula).prediction.value());
  auto& glucoside = formula.items[samples::line_of(formula, "decyl-glucoside-50")];
  glucoside.declared_ph_low = 11.7, glucoside.declared_ph_high = 11.8;
  glucoside.declared_at_percent = 20;
  const auto declared = check(formula).prediction.value();
  CHECK(width(declared) < 0.8 * before);
  CHECK(declared.ph > 9);
}

TEST_CASE("the hand gel is good as it is") {
  const auto result = check(samples::sample("hand-gel"));
  CHECK_FALSE(result.stop());
  CHECK_FALSE(result.adjustment_needed);
  CHECK(result.adjustments.empty());
}

TEST_CASE("grams grow with the batch") {
  CheckOptions twice;
  twice.batch_g = 4000;
  const auto formula = samples::sample("hand-wash");
  const auto once = check(formula).adjustments.front();
  const auto doubled = check(formula, Tables::built_in(), twice).adjustments.front();
  CHECK(doubled.grams == doctest::Approx(2 * once.grams));
  CHECK(doubled.percent == doctest::Approx(once.percent));
}
