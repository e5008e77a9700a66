// SPDX-License-Identifier: MIT
// Virtual batches brought to a target by the plan, and beside it by the customary fixed portions.
// Judged by the true pH alone, which is another one than the plan's: see virtual_batch.hpp.
//
//     closed_loop [BATCHES] [--check]
#include "../answers/samples.hpp"
#include "../virtual_batch.hpp"

#include <counterion/answer/judged.hpp>
#include <counterion/dosing/plan.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <string>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();
using namespace virtual_batch;

constexpr double tolerance = 0.1;
constexpr int most_additions = 3;

struct Outcome {
  double ph = 0;
  int additions = 0;
  bool overshot = false;  ///< at any time beyond the tolerance on the far side
  bool asked = false;  ///< a reading lay beyond the tables' ±: the maker checked the weighing slips
  bool coarse = false;                         ///< one step of the scale moves it by more than 0.05
  bool told = false;                           ///< and was told which dilution to make
  double inside_intervals = 0, intervals = 0;  ///< of readings foretold
};

bool is_past(double ph, double target, bool acid) {
  return acid ? ph < target - tolerance : ph > target + tolerance;
}

/// One formula and target of the simulation.
struct Task {
  Formula formula;
  double target;
  bool acid;
  Adjuster adjuster;
};

Outcome follow_plan(const Task& task, Truth& truth, MakersBench& bench, Adjuster adjuster) {
  Outcome outcome;
  std::vector<BatchReading> readings;
  std::vector<Portion> added;
  outcome.ph = truth.ph(added);
  readings.push_back({bench.read(outcome.ph), {}, {}});
  for (; outcome.additions < most_additions; ++outcome.additions) {
    const auto learned = calibrate(task.formula, readings, built_in, {}, {meter_bias, scale_g});
    outcome.asked = outcome.asked || learned.beyond_tables;
    const auto prediction = predict(*learned.phase, 0);
    const Batch batch{learned.formula, *learned.phase, prediction, learned.knowledge};
    const auto plan = plan_for(batch, task.target, adjuster, built_in,
                               {tolerance, 0.007, most_additions, scale_g}, outcome.additions);
    if (plan.additions.empty()) break;
    const auto& next = plan.additions.front();
    added.push_back({adjuster, bench.weigh(next.grams)});
    outcome.ph = truth.ph(added);
    outcome.inside_intervals += next.ph_low <= outcome.ph && outcome.ph <= next.ph_high;
    outcome.intervals += 1;
    outcome.overshot = outcome.overshot || is_past(outcome.ph, task.target, task.acid);
    readings.push_back({bench.read(outcome.ph), {{adjuster, next.grams}}, {}});
  }
  return outcome;
}

/// Equal small portions of the usual stock until the meter says so, or past it.
Outcome follow_custom(const Task& task, Truth& truth, MakersBench& bench, double portion_percent) {
  Outcome outcome;
  const double grams = portion_percent / 100 * task.formula.batch_g;
  std::vector<Portion> added;
  outcome.ph = truth.ph(added);
  double shown = bench.read(outcome.ph);
  constexpr int most = 60;
  while (outcome.additions < most &&
         (task.acid ? shown > task.target + tolerance : shown < task.target - tolerance)) {
    added.push_back({task.adjuster, bench.weigh(grams)});
    outcome.ph = truth.ph(added);
    shown = bench.read(outcome.ph);
    ++outcome.additions;
    outcome.overshot = outcome.overshot || is_past(outcome.ph, task.target, task.acid);
  }
  return outcome;
}

/// A sample of the demo with a target that asks for something to be weighed.
Task task_of(const std::string& name, Random& random) {
  Task task{samples::sample(name), 0, false, {}};
  const auto judged = judge(task.formula, built_in);
  const double now = judged.prediction->ph, aim = judged.target.value_or(now - 1);
  task.target = aim + uniform(random, -0.3, 0.3);
  if (std::abs(task.target - now) < 0.5) task.target = now + (random() % 2 == 0 ? -0.7 : 0.7);
  task.target = std::round(100 * task.target) / 100;
  task.acid = task.target < now;
  task.adjuster = adjuster_named(task.acid ? "citric-acid" : "sodium-hydroxide", built_in);
  return task;
}

/// What the screen would say of the scale.
Weighable weighable(const Task& task) {
  const BatchKnowledge nothing;
  const auto phase = *nothing.phase_of(task.formula, built_in);
  const auto prediction = predict(phase, 0);
  const auto all = adjustments_for({task.formula, phase, prediction, nothing}, task.target,
                                   {&task.adjuster, 1}, built_in, {{}, tolerance, scale_g, {}});
  return all.front().weighable;
}

struct Tally {
  int batches = 0, inside = 0, overshot = 0, asked = 0, additions = 0;
  double inside_intervals = 0, intervals = 0;
  void add(const Outcome& outcome, double target) {
    ++batches;
    inside += std::abs(outcome.ph - target) <= tolerance;
    overshot += outcome.overshot;
    asked += outcome.asked;
    additions += outcome.additions;
    inside_intervals += outcome.inside_intervals, intervals += outcome.intervals;
  }
  std::string row(const std::string& name) const {
    const double n = std::max(1, batches);
    return fmt::format("{:34} {:7} {:9.1f} {:10.1f} {:10.2f} {:8.1f}", name, batches,
                       100 * inside / n, 100 * overshot / n, additions / n, 100 * asked / n);
  }
};

struct Coverage {
  int covered = 0, all = 0;
  void add(bool inside) { covered += inside, ++all; }
  double percent() const { return 100.0 * covered / std::max(1, all); }
};

struct Record {
  std::map<std::string, Tally> by_formula;
  Tally plan, coarse, diluted, custom_small, custom_large;
  Coverage first_from_model, first_from_wrong;
  int told = 0;
};

void run_one(const std::string& name, std::uint64_t seed, Record& all) {
  Random random(seed);
  const Task task = task_of(name, random);
  const auto prior = *judge(task.formula, built_in).prediction;
  {
    Truth model(task.formula, seed, true);
    const double ph = model.ph({});
    all.first_from_model.add(prior.p05 <= ph && ph <= prior.p95);
  }
  Truth truth(task.formula, seed, false);
  const double ph = truth.ph({});
  all.first_from_wrong.add(prior.p05 <= ph && ph <= prior.p95);
  if (task.acid ? ph < task.target + tolerance : ph > task.target - tolerance)
    return;  // nothing to weigh
  const auto scale = weighable(task);
  MakersBench bench(seed + 1);
  const auto outcome = follow_plan(task, truth, bench, task.adjuster);
  if (scale.step_ph > 0.05) {
    all.coarse.add(outcome, task.target);
    all.told += scale.dilute_to_percent.has_value();
    MakersBench again(seed + 1);
    if (scale.dilute_to_percent)
      all.diluted.add(
          follow_plan(task, truth, again, {task.adjuster.ingredient, *scale.dilute_to_percent}),
          task.target);
    return;
  }
  all.plan.add(outcome, task.target);
  all.by_formula[name].add(outcome, task.target);
  MakersBench small(seed + 1), large(seed + 1);
  all.custom_small.add(follow_custom(task, truth, small, 0.1), task.target);
  all.custom_large.add(follow_custom(task, truth, large, 0.5), task.target);
}

void print(const Record& all) {
  fmt::print("{:34} {:>7} {:>9} {:>10} {:>10} {:>8}\n", "", "batches", "inside %", "overshot %",
             "additions", "asked %");
  fmt::print("{}\n", all.plan.row("the plan"));
  for (const auto& [name, tally] : all.by_formula) fmt::print("{}\n", tally.row("  " + name));
  fmt::print("{}\n", all.custom_small.row("portions of 0.1 % of the batch"));
  fmt::print("{}\n", all.custom_large.row("portions of 0.5 % of the batch"));
  fmt::print("{}\n", all.coarse.row("0.01 g moves more than 0.05"));
  fmt::print("{}\n", all.diluted.row("  the same, stock diluted as told"));
  fmt::print("told to dilute: {} of {}\n", all.told, all.coarse.batches);
  fmt::print(
      "90 % interval before any reading: {:.1f} % of truths from the model, {:.1f} % of others\n",
      all.first_from_model.percent(), all.first_from_wrong.percent());
  fmt::print("90 % interval of the next reading: {:.1f} % of {:.0f}\n",
             100 * all.plan.inside_intervals / std::max(1.0, all.plan.intervals),
             all.plan.intervals);
}

bool holds(const Record& all) {
  return all.plan.inside >= 0.93 * all.plan.batches &&
         all.plan.overshot <= 0.03 * all.plan.batches && all.told == all.coarse.batches &&
         all.first_from_model.percent() >= 80 && all.first_from_wrong.percent() >= 75;
}

}  // namespace

int main(int argc, char** argv) {
  const int batches = argc > 1 ? std::atoi(argv[1]) : 1000;
  Record all;
  for (int i = 0; i < batches; ++i)
    run_one(samples::names[static_cast<std::size_t>(i) % samples::names.size()],
            1000 + 17 * static_cast<std::uint64_t>(i), all);
  print(all);
  return holds(all) ? 0 : 1;
}
