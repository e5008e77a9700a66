// SPDX-License-Identifier: MIT
// How long an answer about one formula takes, with and without remedies, and a sweep over many ranges.
#include <benchmark/benchmark.h>
#include <counterion/answer/batch_answer.hpp>
#include <counterion/batch/drift.hpp>
#include <counterion/reading/explain.hpp>

#include <algorithm>
#include <random>
#include <stdexcept>

using namespace counterion;

namespace {

Formula formula_of(const std::vector<std::pair<const char*, double>>& lines) {
  Formula formula;
  formula.product_type = "face";
  formula.use = "leave-on";
  formula.total_percent = 100;
  double water = 100;
  for (const auto& [ingredient, percent] : lines) {
    FormulaItem item;
    item.written = item.ingredient = ingredient;
    if (!Tables::built_in().ingredient(ingredient)) throw std::logic_error(item.written + " is in no table");
    item.percent = percent;
    water -= percent;
    formula.items.push_back(std::move(item));
  }
  FormulaItem rest;
  rest.written = rest.ingredient = "water";
  rest.percent = water;
  formula.items.push_back(std::move(rest));
  return formula;
}

/// An invented day cream; it has a window and needs acid or alkali.
Formula day_cream() {
  return formula_of({{"glycerin", 4}, {"propanediol", 2}, {"niacinamide", 3}, {"panthenol", 1}, {"sodium-pca-50", 1},
                     {"betaine", 1}, {"sodium-hyaluronate", 0.1}, {"xanthan-gum", 0.3}, {"allantoin", 0.2}, {"urea", 2},
                     {"sodium-lactate-60", 0.5}, {"lactic-acid-80", 1.2}, {"caprylic-capric-triglyceride", 6},
                     {"squalane", 3}, {"shea-butter", 3}, {"cetearyl-alcohol", 3}, {"glyceryl-stearate", 2},
                     {"polyglyceryl-3-methylglucose-distearate", 2}, {"tocopherol", 0.3}, {"disodium-edta-dihydrate", 0.1},
                     {"sodium-benzoate", 0.3}, {"potassium-sorbate", 0.3}, {"lavender-oil", 0.2},
                     {"trisodium-citrate-dihydrate", 0.2}});
}

/// The same with something that wants to be alkaline: a conflict.
Formula torn_cream() {
  Formula formula = day_cream();
  formula.items[9].ingredient = formula.items[9].written = "sodium-ascorbyl-phosphate";
  return formula;
}

CheckOptions without_remedies() {
  CheckOptions options;
  options.remedies = false;
  return options;
}

void check_of_25_ingredients(benchmark::State& state) {
  const Formula formula = day_cream();
  if (!check(formula).adjustment_needed) throw std::logic_error("the cream needs no adjustment");
  for (auto _ : state) benchmark::DoNotOptimize(check(formula, Tables::built_in(), without_remedies()));
}
BENCHMARK(check_of_25_ingredients);

void judgement_of_25_ingredients(benchmark::State& state) {
  const Formula formula = day_cream();
  for (auto _ : state) benchmark::DoNotOptimize(judge(formula, Tables::built_in()));
}
BENCHMARK(judgement_of_25_ingredients);

void solve_of_25_ingredients(benchmark::State& state) {
  const auto phase = water_phase_of(day_cream(), Tables::built_in());
  for (auto _ : state) benchmark::DoNotOptimize(ph_of(*phase));
}
BENCHMARK(solve_of_25_ingredients);

void remedies_of_25_ingredients(benchmark::State& state) {
  const Formula formula = torn_cream();
  const Judged judged = judge(formula, Tables::built_in());
  if (remedies_for(formula, judged, Tables::built_in()).empty()) throw std::logic_error("nothing mends the cream");
  for (auto _ : state) benchmark::DoNotOptimize(remedies_for(formula, judged, Tables::built_in()));
}
BENCHMARK(remedies_of_25_ingredients);

void adjust_of_25_ingredients(benchmark::State& state) {
  const Formula formula = day_cream();
  BatchOptions options;
  options.remedies = false;
  if (!adjust(formula, Tables::built_in(), options).plan) throw std::logic_error("the cream gets no plan");
  for (auto _ : state) benchmark::DoNotOptimize(adjust(formula, Tables::built_in(), options));
}
BENCHMARK(adjust_of_25_ingredients);

void draws_of_25_ingredients(benchmark::State& state) {
  const auto phase = water_phase_of(day_cream(), Tables::built_in());
  for (auto _ : state) benchmark::DoNotOptimize(sample_ph(*phase, 4096));
}
BENCHMARK(draws_of_25_ingredients);

void calibration_by_two_readings(benchmark::State& state) {
  const Formula formula = day_cream();
  const std::vector<BatchReading> readings{{4.3, {}, {}}, {4.9, {{{"sodium-hydroxide", 10}, 1.5}}, {}}};
  for (auto _ : state) benchmark::DoNotOptimize(calibrate(formula, readings, Tables::built_in()));
}
BENCHMARK(calibration_by_two_readings);

/// Of which there are about twenty hypotheses.
Formula short_formula() {
  return formula_of({{"lactic-acid-80", 1.5}, {"sodium-hydroxide-10", 2}});
}

void solve_of_a_short_formula(benchmark::State& state) {
  const auto phase = water_phase_of(short_formula(), Tables::built_in());
  for (auto _ : state) benchmark::DoNotOptimize(ph_of(*phase));
}
BENCHMARK(solve_of_a_short_formula);

void explanation_of_about_20_hypotheses(benchmark::State& state) {
  const Formula formula = short_formula();
  const std::vector<BatchReading> readings{BatchReading(4.4)};
  const auto thought_of = explain_readings(formula, readings, Tables::built_in()).thought_of;
  if (thought_of < 20 || thought_of > 30) throw std::logic_error("there are other than 20 to 30 hypotheses");
  for (auto _ : state) benchmark::DoNotOptimize(explain_readings(formula, readings, Tables::built_in()));
}
BENCHMARK(explanation_of_about_20_hypotheses);

void explanation_of_25_ingredients(benchmark::State& state) {
  const Formula formula = day_cream();
  const std::vector<BatchReading> readings{BatchReading(5.5)};
  for (auto _ : state) benchmark::DoNotOptimize(explain_readings(formula, readings, Tables::built_in()));
}
BENCHMARK(explanation_of_25_ingredients);

void forecast_of_25_ingredients(benchmark::State& state) {
  const Formula formula = day_cream();
  const auto phase = BatchKnowledge().phase_of(formula, Tables::built_in());
  for (auto _ : state) benchmark::DoNotOptimize(drift_of(formula, *phase, Tables::built_in()));
}
BENCHMARK(forecast_of_25_ingredients);

std::vector<Interval> random_ranges() {
  std::mt19937 random(20261130);
  std::uniform_real_distribution<double> ph(0, 14);
  std::vector<Interval> ranges(10000);
  for (auto& range : ranges) {
    const double a = ph(random), b = ph(random);
    range.low = std::min(a, b);
    range.high = std::max(a, b);
  }
  return ranges;
}

void sweep_of_10000_ranges(benchmark::State& state) {
  const auto ranges = random_ranges();
  for (auto _ : state) benchmark::DoNotOptimize(heaviest_point(ranges));
}
BENCHMARK(sweep_of_10000_ranges);

void sort_of_20000_edges(benchmark::State& state) {
  std::vector<double> edges;
  for (const auto& range : random_ranges()) edges.push_back(range.low), edges.push_back(range.high);
  for (auto _ : state) {
    auto sorted = edges;
    std::ranges::sort(sorted);
    benchmark::DoNotOptimize(sorted.data());
  }
}
BENCHMARK(sort_of_20000_edges);

}  // namespace
