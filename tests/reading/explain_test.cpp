// SPDX-License-Identifier: MIT
// Readings explained: what the sums must be whatever the batch. How often the causes are right, on
// batches whose truth is another one, is what the program `mishaps` shows.
#include "../answers/samples.hpp"
#include "../../lib/src/reading/evidence.hpp"

#include <counterion/reading/explain.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

std::vector<BatchReading> read(double ph, std::vector<Portion> added = {}) {
  return {BatchReading(ph, std::move(added))};
}

double predicted_ph(const Formula& formula) {
  return ph_of(*BatchKnowledge().phase_of(formula, built_in));
}

const Cause* cause_of_kind(const Explained& explained, const std::string& kind) {
  const auto found = std::ranges::find_if(
      explained.causes, [&](const Cause& cause) { return cause.hypothesis.kind == kind; });
  return found == explained.causes.end() ? nullptr : &*found;
}

double probability_of(const Explained& explained, const std::string& kind) {
  double sum = 0;
  for (const auto& cause : explained.causes)
    if (cause.hypothesis.kind == kind) sum += cause.probability;
  return sum;
}

/// A formula whose lines every mishap can meet.
Formula rich_formula() {
  return samples::formula_of(samples::items_of(
      "carbomer 0.3; citric-acid 0.4; trisodium-citrate-dihydrate 0.5; ammonia-10 0.5; "
      "gluconolactone 0.5; sodium-lactate-60 2; sunflower-seed-oil 20; lactic-acid-80 1"));
}

}  // namespace

TEST_CASE("priors and sizes sum to one") {
  for (const auto& name : samples::names) {
    double sum = 0;
    for (const auto& one : hypotheses_for(samples::sample(name), read(6), built_in)) {
      sum += one.prior;
      double sizes = 0;
      for (const auto& size : one.variations) sizes += size.weight;
      CHECK_MESSAGE(sizes == doctest::Approx(1), one.what);
    }
    CHECK(sum == doctest::Approx(1));
  }
}

TEST_CASE("every mishap of the table is thought of somewhere") {
  Circumstances strip;
  strip.strip = true, strip.bench.meter_ph = 0.5;
  auto later = read(5.5, {{{"citric-acid", 20}, 3}});
  later.push_back(BatchReading(5.0));
  later.back().age_days = 5;
  std::set<std::string, std::less<>> joined{"adjuster-aged", "bad-calibration-buffer",
                                            "electrode-dirty-or-dry", "read-too-early"};
  std::set<std::string, std::less<>> kinds;
  for (const auto& circumstances : {Circumstances{}, strip})
    for (const auto& one : hypotheses_for(rich_formula(), later, built_in, circumstances))
      kinds.insert(one.kind);
  for (const auto& row : built_in.mishaps())
    CHECK_MESSAGE((kinds.contains(row.kind) || joined.contains(row.kind)), row.kind);
}

TEST_CASE("where a reading was expected nothing went wrong") {
  for (const auto& name : samples::names) {
    const Formula formula = samples::sample(name);
    const auto explained = explain_readings(formula, read(predicted_ph(formula)), built_in);
    CHECK(explained.causes.front().hypothesis.kind == "none");
    CHECK(explained.causes.front().probability > 0.5);
    CHECK(explained.near_equal == 1);
    CHECK(std::abs(explained.surprise) < 0.2);
  }
}

TEST_CASE("probabilities sum to one and fall") {
  const auto explained = explain_readings(samples::sample("heel-cream"), read(5.2), built_in);
  double sum = 0, last = 1;
  for (const auto& cause : explained.causes) {
    sum += cause.probability;
    CHECK(cause.probability <= last + 1e-12);
    last = cause.probability;
  }
  CHECK(sum == doctest::Approx(1));
}

TEST_CASE("what a slip would read is the pH of the formula with that slip") {
  const Formula cream = samples::sample("heel-cream");
  const std::size_t acid = samples::line_of(cream, "lactic-acid-80");
  const Evidence evidence(cream, read(5), built_in, {});
  Variation doubled;
  doubled.lines = {{acid, 2, 0, {}}};
  Formula slipped = cream;
  slipped.items[acid].percent *= 2;
  const double total = 100 + cream.items[acid].percent;
  for (auto& item : slipped.items) item.percent *= 100 / total;
  CHECK(*evidence.last_ph(doubled) == doctest::Approx(predicted_ph(slipped)).epsilon(2e-3));
  Variation salt;
  salt.lines = {{acid, 1, 0, "sodium-lactate-60"}};
  slipped = cream;
  slipped.items[acid].ingredient = "sodium-lactate-60";
  CHECK(*evidence.last_ph(salt) == doctest::Approx(predicted_ph(slipped)).epsilon(2e-3));
}

TEST_CASE("the density of a reading sums to one, for a batch as it should be and with a slip") {
  for (const auto* name : {"hand-gel", "heel-cream"}) {
    const Formula formula = samples::sample(name);
    Variation left_out;
    left_out.lines = {
        {samples::line_of(
             formula, name == std::string("hand-gel") ? "triethanolamine-99" : "sodium-lactate-60"),
         0,
         0,
         {}}};
    for (const auto& variation : {Variation{}, left_out}) {
      double sum = 0;
      constexpr double step = 0.02;
      for (double ph = 1; ph < 13; ph += step)
        sum += step * std::exp(Evidence(formula, read(ph), built_in, {}).log_density(variation));
      CHECK(sum == doctest::Approx(1).epsilon(0.15));
    }
  }
}

TEST_CASE(
    "the evidence by charge agrees with that of the most probable batch, for one and two "
    "readings") {
  const Formula wash = samples::sample("hand-wash");
  Circumstances bench;
  bench.bench = {0.05, 0.01, false};
  for (const double second : {4.6, 4.75, 4.9, 5.0}) {
    const std::vector<BatchReading> both{BatchReading(11.8),
                                         BatchReading(second, {{{"citric-acid", 20}, 25.7}})};
    for (const std::size_t count : {std::size_t{1}, std::size_t{2}}) {
      const std::span<const BatchReading> some(both.data(), count);
      const double by_charge = Evidence(wash, some, built_in, bench).log_density({});
      CHECK(std::abs(by_charge - log_evidence(wash, some, built_in, {}, bench.bench)) < 1.2);
    }
  }
}

TEST_CASE("a batch that weighs too little points at what fits the gap") {
  const Formula cream = samples::sample("heel-cream");
  const auto readings = read(5.2);
  const std::vector<Finding> light{{"weigh-batch", {}, {}, cream.batch_g - 9}};
  const auto before = explain_readings(cream, readings, built_in);
  const auto after = explain_readings(cream, readings, built_in, {}, light);
  CHECK(after.causes.front().hypothesis.kind == "decimal-place-slip");
  CHECK(after.causes.front().probability > 0.9);
  CHECK(after.causes.front().probability >
        cause_of_kind(before, "decimal-place-slip")->probability);
  const std::vector<Finding> right{{"weigh-batch", {}, {}, cream.batch_g}};
  CHECK(probability_of(explain_readings(cream, readings, built_in, {}, right),
                       "decimal-place-slip") < 0.05);
}

TEST_CASE("a check that finds its cause makes it lead, one that finds nothing lets it fall") {
  const Formula gel = samples::sample("hand-gel");
  const double ph = predicted_ph(gel) + 0.7;
  const auto before = explain_readings(gel, read(ph), built_in);
  const Finding meter{"measure-again", "meter-not-calibrated", {}, {}},
      nothing{"measure-again", {}, {}, {}};
  const auto found = explain_readings(gel, read(ph), built_in, {}, std::vector{meter});
  CHECK(found.causes.front().hypothesis.kind == "meter-not-calibrated");
  const auto cleared = explain_readings(gel, read(ph), built_in, {}, std::vector{nothing});
  CHECK(probability_of(cleared, "meter-not-calibrated") <
        0.3 * probability_of(before, "meter-not-calibrated"));
}

TEST_CASE("what a check may find is as probable as it says, and changes the ranking as it says") {
  const Formula cream = samples::sample("heel-cream");
  const auto explained = explain_readings(cream, read(5.2), built_in);
  REQUIRE(!explained.checks.empty());
  for (const auto& check : explained.checks) {
    double sum = 0;
    for (const auto& outcome : check.outcomes) sum += outcome.probability;
    CHECK(sum == doctest::Approx(1));
    const auto& likely = check.outcomes.front();
    const auto after =
        explain_readings(cream, read(5.2), built_in, {}, std::vector{likely.finding});
    const auto& foretold = explained.causes[likely.leading.front().first].hypothesis;
    CHECK(after.causes.front().hypothesis.what == foretold.what);
    CHECK(after.causes.front().probability ==
          doctest::Approx(likely.leading.front().second).epsilon(0.1));
  }
}

TEST_CASE("a second reading sharpens: a first that was right clears what was weighed before it") {
  const Formula cream = samples::sample("heel-cream");
  const Portion lye{{"sodium-hydroxide", 10}, 4};
  const Portion twice{{"sodium-hydroxide", 10}, 8};
  const double first = predicted_ph(cream),
               then = predicted_ph(with_portions(cream, std::vector{twice}, built_in));
  const auto alone = explain_readings(cream, read(then, {lye}), built_in);
  const std::vector<BatchReading> both{BatchReading(first), BatchReading(then, {lye})};
  const auto together = explain_readings(cream, both, built_in);
  const auto of_the_addition = [](const Explained& explained) {
    return probability_of(explained, "adjuster-added-twice") +
           probability_of(explained, "adjuster-stock-strength") +
           probability_of(explained, "not-mixed");
  };
  CHECK(of_the_addition(together) > of_the_addition(alone));
  CHECK(of_the_addition(together) > 0.8);
  CHECK(probability_of(together, "ingredient-left-out") <
        probability_of(alone, "ingredient-left-out") + 1e-6);
}

TEST_CASE("of a long log the first and the last readings count, and every addition") {
  const Formula cream = samples::sample("heel-cream");
  const Portion drop{{"sodium-hydroxide", 10}, 0.25};
  std::vector<BatchReading> log{BatchReading(predicted_ph(cream))};
  std::vector<Portion> added;
  for (int i = 0; i < 40; ++i) {
    added.push_back(drop);
    log.push_back(BatchReading(predicted_ph(with_portions(cream, added, built_in)), {drop}));
  }
  const auto explained = explain_readings(cream, log, built_in);
  CHECK(explained.causes.front().hypothesis.kind == "none");
  CHECK(explained.expected_ph == doctest::Approx(log.back().ph).epsilon(0.02));
}

TEST_CASE("a strip cannot blame the meter") {
  Circumstances strip;
  strip.strip = true, strip.bench.meter_ph = 0.5;
  const auto explained = explain_readings(samples::sample("hand-gel"), read(7), built_in, strip);
  CHECK(!cause_of_kind(explained, "meter-not-calibrated"));
  CHECK(cause_of_kind(explained, "strip-colour-step"));
}

TEST_CASE("findings that mean nothing are all named at once") {
  const std::vector<Finding> odd{{"look-into-the-cards", {}, {}, {}},
                                 {"measure-again", "bad-luck", {}, {}},
                                 {"packs-and-sheet", {}, 99, {}},
                                 {"weigh-batch", {}, {}, -3}};
  try {
    explain_readings(samples::sample("hand-gel"), read(6), built_in, {}, odd);
    FAIL("it took them");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 4);
  }
}

TEST_CASE("without water or readings nothing is explained") {
  const Formula balm = samples::formula_of({{"sunflower-seed-oil", 100}});
  CHECK(explain_readings(balm, read(6), built_in).causes.empty());
  CHECK(explain_readings(samples::sample("hand-gel"), {}, built_in).causes.empty());
}
