// SPDX-License-Identifier: MIT
#include "../answers/samples.hpp"

#include <counterion/answer/judged.hpp>
#include <counterion/dosing/plan.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();
const BatchKnowledge nothing;

/// A sample as a batch without readings.
struct Standing {
  Formula formula;
  WaterPhase phase;
  Prediction prediction;
  explicit Standing(Formula of)
      : formula(std::move(of)),
        phase(*nothing.phase_of(formula, built_in)),
        prediction(predict(phase, 0)) {}
  Batch batch() const { return {formula, phase, prediction, nothing}; }
};

double ph_with(const Formula& formula, const Adjustment& a) {
  return ph_of(*water_phase_of(
      with_adjuster(formula, a.adjuster, a.percent, a.from_water, built_in), built_in));
}

}  // namespace

TEST_CASE("every stated amount lands on its target when the formula with it is predicted again") {
  const auto adjusters = adjusters_of(built_in);
  CHECK(adjusters.size() >= 85);
  int reached = 0;
  for (const auto& name : samples::names) {
    const Standing standing(samples::sample(name));
    for (const double off : {-1.5, -0.5, 0.5, 1.5}) {
      const double target = standing.prediction.ph + off;
      for (const auto& a : adjustments_for(standing.batch(), target, adjusters, built_in)) {
        if (!a.possible || !a.withheld.empty()) continue;
        CAPTURE(name);
        CAPTURE(a.name);
        CAPTURE(target);
        CHECK(std::abs(ph_with(standing.formula, a) - target) < 1e-6);
        CHECK(a.grams ==
              doctest::Approx(stock_grams(standing.formula, {a.percent, a.from_water, 0})));
        ++reached;
      }
    }
  }
  MESSAGE(reached, " amounts");
  CHECK(reached > 400);
}

TEST_CASE("what a batch needs of any stock strength is the same acid") {
  const Standing standing(samples::sample("hand-wash"));
  const std::vector<Adjuster> stocks{
      {"citric-acid", 5}, {"citric-acid", 20}, {"citric-acid", 50}, {"citric-acid", 100}};
  double first = 0;
  for (const auto& a : adjustments_for(standing.batch(), 5.5, stocks, built_in)) {
    if (first == 0) first = a.percent_of_ingredient;
    CHECK(a.percent_of_ingredient == doctest::Approx(first).epsilon(0.001));
    CHECK(a.percent == doctest::Approx(100 * a.percent_of_ingredient / a.adjuster.stock_percent));
  }
}

TEST_CASE("more than the water makes room for goes on top of the batch") {
  const Standing standing(
      samples::formula_of({{"lactic-acid-80", 10}, {"glycerin", 40}, {"propanediol", 38}}));
  const std::vector<Adjuster> weak{{"sodium-hydroxide", 1}};
  const auto a =
      adjustments_for(standing.batch(), standing.prediction.ph + 2, weak, built_in).front();
  REQUIRE(a.possible);
  CHECK_FALSE(a.from_water);
  CHECK(std::abs(ph_with(standing.formula, a) - a.target) < 1e-6);
}

TEST_CASE("a small batch that hardly holds its pH asks for a weaker stock") {
  auto formula = samples::formula_of({{"niacinamide", 2}, {"glycerin", 3}});
  formula.batch_g = 500;
  const Standing standing(formula);
  const std::vector<Adjuster> lye{{"sodium-hydroxide", 10}};
  const auto a =
      adjustments_for(standing.batch(), standing.prediction.ph + 0.5, lye, built_in).front();
  REQUIRE(a.possible);
  CHECK(a.weighable.too_coarse);
  REQUIRE(a.weighable.dilute_to_percent);
  CHECK(*a.weighable.dilute_to_percent < 10);
  // With that stock a step of the scale moves it by no more than half of the tolerance.
  const std::vector<Adjuster> weaker{{"sodium-hydroxide", *a.weighable.dilute_to_percent}};
  const auto again = adjustments_for(standing.batch(), a.target, weaker, built_in).front();
  CHECK(again.weighable.step_ph <= 0.05 * 1.01);
}

TEST_CASE("the first addition of a plan stops short, the next goes on") {
  const Standing standing(samples::sample("hand-wash"));
  const auto plan = plan_for(standing.batch(), 4.5, {"citric-acid", 20}, built_in);
  REQUIRE(plan.additions.size() == 2);
  CHECK(plan.additions[0].ph_low >= 4.4);  // nine in ten and more not past the tolerance
  CHECK(plan.additions[0].ph_low < plan.additions[0].expected_ph);
  CHECK(plan.additions[1].expected_ph == doctest::Approx(4.5).epsilon(0.01));
  const double steps = plan.additions[0].grams / 0.01;
  CHECK(std::abs(steps - std::round(steps)) < 1e-6);
}

TEST_CASE("a batch that a reading puts on its target is left alone, one past it goes back") {
  const auto formula = samples::sample("heel-cream");
  const Bench bench{0.02, 0.01};
  const std::vector<BatchReading> readings{{3.93, {}, {}}};
  const auto learned = calibrate(formula, readings, built_in, {}, bench);
  const auto now = predict(*learned.phase, 0);
  const Batch batch{learned.formula, *learned.phase, now, learned.knowledge};
  CHECK(plan_for(batch, now.ph + 0.01, {"sodium-hydroxide", 10}, built_in).done);
  CHECK(plan_for(batch, 3.5, {"sodium-hydroxide", 10}, built_in).beyond);
  CHECK_FALSE(plan_for(batch, 3.5, {"lactic-acid-80", 100}, built_in).additions.empty());
}

TEST_CASE("going past the target costs the other adjuster, salt, and in a gel the batch") {
  const std::vector<Adjuster> acids{{"citric-acid", 20}}, bases{{"sodium-hydroxide", 10}};
  const Standing cream(samples::sample("heel-cream"));
  const auto undo = undo_for(cream.batch(), 4.75, bases[0], 0.5, acids, built_in);
  REQUIRE(undo);
  CHECK(undo->ph == doctest::Approx(5.25).epsilon(0.01));
  REQUIRE(undo->grams);
  CHECK(*undo->grams > 0);
  CHECK(undo->salt_percent > 0);
  const Standing gel(samples::sample("hand-gel"));
  const auto thinned = undo_for(gel.batch(), 7, bases[0], 2, acids, built_in);
  REQUIRE(thinned);
  CHECK(thinned->remake);
}

TEST_CASE("an adjuster of 100 % is no stock of the usual strength") {
  const std::pair<const char*, double> names[] = {{"citric-acid 100 %", 100},
                                                  {"Citric Acid (anhydrous) 100 %", 100},
                                                  {"sodium-hydroxide 100 %", 100},
                                                  {"citric-acid 35 %", 35},
                                                  {"citric-acid", 20}};
  for (const auto& [name, percent] : names) {
    CAPTURE(name);
    CHECK(adjuster_named(name, built_in).stock_percent == percent);
  }
}
