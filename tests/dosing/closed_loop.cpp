// SPDX-License-Identifier: MIT
// Virtual batches brought to a target by the plan, and beside it by the customary fixed portions.
// The truth of each batch is another one than the plan's: another activity model, every pK off by
// up to 0.15, contents and residues drawn from the tables' ±, and an unlisted buffer or a hidden
// acid or alkali. Judged by the true pH alone.
//
//     closed_loop [BATCHES] [--check]
//
// Assumptions of the bench: scale 0.01 g, meter noise 0.02 (standard deviation), meter bias up to
// 0.05 for the whole batch, stock strength off by 1 % (standard deviation), readings shown to 0.01.
#include "../answers/samples.hpp"

#include <counterion/answer/judged.hpp>
#include <counterion/batch/moved_phase.hpp>
#include <counterion/dosing/plan.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <random>
#include <string>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();
constexpr double tolerance = 0.1, scale_g = 0.01, meter_bias = 0.05, meter_noise = 0.02,
                 pK_off = 0.15;
constexpr int most_additions = 3;

using Random = std::mt19937_64;
double uniform(Random& random, double low, double high) {
  return low + (high - low) * (static_cast<double>(random() >> 11) + 0.5) / 9007199254740992.0;
}
double normal(Random& random) {  // Box and Muller
  return std::sqrt(-2 * std::log(uniform(random, 0, 1))) *
         std::cos(2 * 3.141592653589793 * uniform(random, 0, 1));
}

/// A batch as it really is.
class Truth {
 public:
  Truth(Formula formula, std::uint64_t seed, bool from_the_model)
      : formula_(std::move(formula)), random_(seed), from_the_model_(from_the_model) {
    if (!from_the_model) conditions_.activity = Activity::extended_debye_huckel;
    hidden_buffer_ = !from_the_model && random_() % 2 == 0;
    buffer_pK_ = uniform(random_, 3, 9);
    buffer_ = 1e-3 * std::pow(10.0, uniform(random_, 0, 1));  // 1 to 10 mmol/kg
    hidden_charge_ = from_the_model || hidden_buffer_ ? 0 : 1e-3 * uniform(random_, -5, 5);
    stock_ = 1 + 0.01 * normal(random_);
    model_off_ = normal(random_) / deviates_to_end;
  }
  double ph(std::vector<Portion> added) {
    for (auto& portion : added) portion.grams *= stock_;
    auto phase = *water_phase_of(with_portions(formula_, added, built_in), built_in, conditions_);
    add_unlisted_charge(phase, formula_, built_in);
    std::vector<double> deviates;
    for (const auto& driver : phase.drivers) deviates.push_back(deviate(driver, phase));
    if (hidden_buffer_) {
      phase.mixture.protolytes.push_back(
          {buffer_, chemistry::Ladder(Protolyte(0, {{buffer_pK_}}), chemistry::reference_kelvin)});
      phase.mixture.add_strong_charge(0.5 * buffer_);
    }
    phase.mixture.add_strong_charge(hidden_charge_);
    return MovedPhase(phase).ph_at(deviates) +
           (from_the_model_ ? model_off_ * predict(phase, 0).model_above : 0);
  }

 private:
  /// The same for the same quantity in every state of the batch.
  double deviate(const Driver& driver, const WaterPhase& phase) {
    if (driver.kind == DriverKind::carbon_dioxide ||
        (driver.kind == DriverKind::unlisted_charge && !from_the_model_))
      return 0;
    const bool of_substance = driver.kind == DriverKind::constant ||
                              driver.kind == DriverKind::partition ||
                              driver.kind == DriverKind::solubility;
    const std::string subject =
        of_substance
            ? std::string(phase.substances[driver.subject]->id)
            : std::to_string(driver.kind == DriverKind::content ? part_of(driver, phase) : 0);
    const auto key = fmt::format("{}:{}:{}:{}", static_cast<int>(driver.kind),
                                 driver.item.value_or(999), subject, driver.step);
    const auto [known, is_new] = deviates_.try_emplace(key, 0);
    if (is_new) known->second = driver.kind == DriverKind::portion ? 0 : drawn(driver);
    return known->second;
  }
  static std::size_t part_of(const Driver& driver, const WaterPhase& phase) {
    std::size_t first = driver.subject;
    while (first > 0 && phase.parts[first - 1].item == phase.parts[driver.subject].item) --first;
    return driver.subject - first;
  }
  double drawn(const Driver& driver) {
    const bool is_pK =
        driver.kind == DriverKind::constant || driver.kind == DriverKind::polymer_constant;
    if (from_the_model_ || !is_pK) return normal(random_);
    return deviates_to_end * uniform(random_, -pK_off, pK_off) / driver.high;
  }

  Formula formula_;
  Random random_;
  bool from_the_model_;
  Conditions conditions_;
  bool hidden_buffer_ = false;
  double buffer_pK_ = 7, buffer_ = 0, hidden_charge_ = 0, stock_ = 1, model_off_ = 0;
  std::map<std::string, double> deviates_;
};

/// A bench: what it shows of a true pH, and what it weighs.
class MakersBench {
 public:
  explicit MakersBench(std::uint64_t seed)
      : random_(seed), bias_(uniform(random_, -meter_bias, meter_bias)) {}
  double read(double ph) {
    return std::round(100 * (ph + bias_ + meter_noise * normal(random_))) / 100;
  }
  double weigh(double grams) {
    return std::max(0.0, grams + uniform(random_, -0.5, 0.5) * scale_g);
  }

 private:
  Random random_;
  double bias_;
};

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
