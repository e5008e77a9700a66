// SPDX-License-Identifier: MIT
#include "../answers/samples.hpp"

#include <counterion/answer/batch_answer.hpp>
#include <counterion/report/batch.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

BatchOptions with_readings(std::vector<BatchReading> readings) {
  BatchOptions options;
  options.readings = std::move(readings);
  options.draws = 512;
  return options;
}

bool any_grams(const BatchAnswer& answer) {
  return std::ranges::any_of(answer.check.adjustments,
                             [](const Adjustment& a) { return a.possible && a.withheld.empty(); });
}

bool says(const std::string& text, const std::string& words) {
  return text.find(words) != text.npos;
}

}  // namespace

TEST_CASE("a reading of the batch would tell most where a raw material's alkali is not known") {
  const auto answer = foresee(samples::sample("hand-wash"), built_in, with_readings({}));
  REQUIRE(answer.measurements.size() >= 2);
  CHECK_FALSE(answer.measurements.front().item);
  const double now = answer.check.prediction->p95 - answer.check.prediction->p05;
  for (const auto& one : answer.measurements) CHECK(one.p95 - one.p05 < now);
  CHECK(answer.sampled->draws.size() == 512);
  CHECK(answer.chance_in_window < 0.05);
}

TEST_CASE(
    "no grams over a mistake: a reading that is hardly possible asks first what was left out") {
  const auto formula =
      samples::formula_of({{"sodium-benzoate", 1}, {"citric-acid", 0.3}, {"glycerin", 3}});
  auto options = with_readings({{2.6, {}, {}}});
  options.target = pH(5);
  const auto answer = adjust(formula, built_in, options);
  CHECK(answer.learned.beyond_tables);
  CHECK_FALSE(any_grams(answer));
  CHECK_FALSE(answer.plan);
  REQUIRE_FALSE(answer.check.adjustments.empty());
  CHECK(says(dosing_report(answer), "First rule out"));
  CHECK(says(dosing_report(answer), "Sodium Benzoate left out"));
  options.ruled_out = true;
  CHECK(any_grams(adjust(formula, built_in, options)));
}

TEST_CASE("every answer for a batch is about the batch with what was weighed into it") {
  const Adjuster citric{"citric-acid", 20};
  auto asked = with_readings({{11.8, {}, {}}, {5.1, {{citric, 20}}, {}}});
  asked.target = pH(4.5);
  const auto answer = adjust(samples::sample("hand-wash"), built_in, asked);
  const auto& items = answer.check.formula.items;
  REQUIRE(items.back().note == "pH adjuster");
  CHECK(items.back().percent == doctest::Approx(0.2));
  double total = 0;
  for (const auto& item : items) total += item.percent;
  CHECK(total == doctest::Approx(100));
  CHECK(std::abs(answer.check.prediction->ph - 5.1) < 0.05);
  REQUIRE(answer.plan);
  REQUIRE_FALSE(answer.plan->additions.empty());
  CHECK(answer.plan->additions.front().grams < 30);
  CHECK(answer.curve.size() > 10);
  REQUIRE(answer.release);
  CHECK(answer.release->low >= answer.check.window.low);
}

// A sample of the wash is titrated on the bench by another batch of the same formula: its alkali is
// twice what the tables have in the middle. Made with the model itself, so that it shows the
// bookkeeping and no more.
TEST_CASE("a titration of a sample says what the batch needs, less the sample") {
  auto truth = samples::sample("hand-wash");
  truth.items[samples::line_of(truth, "decyl-glucoside-50")].percent *= 1.4;
  const Adjuster citric{"citric-acid", 10};
  std::vector<BatchReading> readings;
  auto sample = truth;
  sample.batch_g = 50;
  double so_far = 0;
  for (const double grams : {0.0, 0.4, 0.4, 0.4, 0.4}) {
    so_far += grams;
    const std::vector<Portion> all{{citric, so_far}};
    const double ph = ph_of(*water_phase_of(with_portions(sample, all, built_in), built_in));
    readings.push_back(
        {ph, grams > 0 ? std::vector<Portion>{{citric, grams}} : std::vector<Portion>{}, {}});
  }
  auto options = with_readings(readings);
  options.sample_g = 50;
  options.target = pH(5);
  options.adjusters = {"citric-acid"};
  options.every_adjuster = false;
  options.meter_ph = 0.05;
  const auto answer = titrate(samples::sample("hand-wash"), built_in, options);
  REQUIRE(answer.chosen);
  const auto& one = answer.check.adjustments[*answer.chosen];
  CHECK(answer.check.formula.batch_g == doctest::Approx(1950));
  const BatchKnowledge nothing;
  auto rest = truth;
  rest.batch_g = 1950;
  const auto phase = *water_phase_of(rest, built_in);
  const auto prediction = predict(phase, 0);
  const auto needed = exact_dose({rest, phase, prediction, nothing}, 5, one.adjuster, built_in);
  REQUIRE(needed);
  const double grams = stock_grams(rest, *needed);
  CAPTURE(grams);
  CAPTURE(one.grams);
  CHECK(std::abs(one.grams - grams) < 0.1 * grams);
  CHECK(one.grams_low < grams);
  CHECK(grams < one.grams_high.value());
}

TEST_CASE("a titration without a sample's size or with one reading is refused, both at once") {
  BatchOptions options = with_readings({{6, {}, {}}});
  try {
    titrate(samples::sample("hand-wash"), built_in, options);
    FAIL("not refused");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 2);
  }
}

// 0.5 % carbomer holds 0.5 g / 76 g per equivalent = 6.6 mmol of acid in 100 g (common practice);
// half of it takes 3.3 mmol of lye: 1.32 g of a 10 % stock.
TEST_CASE("a share of a carbomer's acid groups is as much base as half of its equivalents") {
  const auto gel =
      samples::formula_of({{"carbomer", 0.5}, {"glycerin", 3}, {"phenoxyethanol", 0.8}});
  auto options = with_readings({});
  options.neutralise = 0.5;
  options.adjusters = {"sodium-hydroxide"};
  options.every_adjuster = false;
  const auto answer = adjust(gel, built_in, options);
  REQUIRE(answer.chosen);
  CHECK(std::abs(answer.check.adjustments[*answer.chosen].grams - 1.32) < 0.1 * 1.32);
  options.neutralise = 1.5;
  CHECK_THROWS_AS(adjust(gel, built_in, options), BadInput);
}

TEST_CASE("an adjuster's strength may follow its id as well as its name, and is a percentage") {
  CHECK(adjuster_named("citric-acid 30 %", built_in) == Adjuster{"citric-acid", 30});
  CHECK(adjuster_named("Citric Acid (anhydrous) 30 %", built_in) == Adjuster{"citric-acid", 30});
  CHECK_THROWS_AS(adjuster_named("citric-acid 0 %", built_in), BadInput);
  CHECK_THROWS_AS(adjuster_named("citric-acid 101 %", built_in), BadInput);
}

TEST_CASE("options that mean nothing are refused before anything is learned from readings") {
  const auto formula = samples::formula_of({{"sodium-benzoate", 1}, {"glycerin", 3}});
  for (const double bad : {std::nan(""), HUGE_VAL, -1.0}) {
    auto batch = with_readings({{7, {}, {}}}), cold = batch, meter = batch;
    batch.batch_g = bad, cold.temperature = celsius(bad), meter.meter_ph = bad;
    CHECK_THROWS_AS(adjust(formula, built_in, batch), BadInput);
    CHECK_THROWS_AS(foresee(formula, built_in, cold), BadInput);
    CHECK_THROWS_AS(foresee(formula, built_in, meter), BadInput);
  }
}

TEST_CASE("grams and the scale's step stay within what can be weighed") {
  const auto formula = samples::formula_of({{"sodium-benzoate", 1}, {"glycerin", 3}});
  auto options = with_readings({{7, {{{"citric-acid", 20}, 1e9}}, {}}});
  options.ruled_out = true;
  CHECK_NOTHROW(adjust(formula, built_in, options));
  options.scale_g = 1e-9;
  CHECK_THROWS_AS(adjust(formula, built_in, options), BadInput);
  options.scale_g = 1e-6;
  options.readings[0].added[0].grams = 2e9;
  CHECK_THROWS_AS(adjust(formula, built_in, options), BadInput);
}

TEST_CASE("a buffer is offered where one is asked for") {
  auto options = with_readings({});
  options.hold = BufferAim{5, 5, 0, 0.2};
  const auto answer =
      foresee(samples::formula_of({{"glycerin", 5}, {"propanediol", 3}}), built_in, options);
  REQUIRE(answer.buffers);
  CHECK(std::ranges::any_of(answer.buffers->pairs, &BufferPair::possible));
  CHECK(says(foreseen_report(answer), "Buffers that would hold it"));
}

TEST_CASE("what moves the pH, the gel and the lactone stand in the order of work") {
  const auto formula = samples::formula_of(
      {{"carbomer", 0.4}, {"gluconolactone", 2}, {"sodium-benzoate", 0.4}, {"glycerin", 3}});
  const auto answer = adjust(formula, built_in, with_readings({}));
  std::string all;
  for (const auto& step : answer.work) all += step.what + " ";
  CHECK(says(all, "swell"));
  CHECK(says(all, "next day"));
  CHECK(says(all, "40 °C"));
}
