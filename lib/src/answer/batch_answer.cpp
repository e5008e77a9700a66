// SPDX-License-Identifier: MIT
#include <counterion/answer/batch_answer.hpp>
#include <counterion/answer/ingredient.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "keeping.hpp"
#include "valid_options.hpp"
#include "work_steps.hpp"

namespace counterion {
namespace {

std::string slip_text(const Slip& slip, const CheckResult& check) {
  return fmt::format("{} {} (that would read {:.1f})", check.name_of(slip.item),
                     slip.doubled ? "doubled" : "left out", slip.ph);
}

/// No grams over a mistake: what the readings leave unexplained is more than the tables' ± allow.
std::string why_withheld(const Calibration& learned, const Formula& formula, const Tables& tables) {
  const auto surprise = std::ranges::find_if(learned.readings, [](const ReadingInLight& r) {
    return std::abs(r.surprise) > most_surprise;
  });
  std::string text = fmt::format(
      "The reading {:.2f} lies where it was hardly possible (expected {:.1f} to {:.1f}). First "
      "rule out ",
      surprise->ph, surprise->low, surprise->high);
  if (surprise != learned.readings.begin())
    return text +
           "that the addition before it was weighed wrong, is another stock or is not mixed in, "
           "and that the meter is off.";
  const CheckResult names(formula, tables, {});
  std::vector<std::string> likely;
  for (const auto& slip : learned.slips)
    if (likely.size() < 3) likely.push_back(slip_text(slip, names));
  return text + "that something was left out, doubled or swapped, and that the meter is off" +
         (likely.empty() ? "." : fmt::format("; likely: {}.", fmt::join(likely, ", ")));
}

Conditions conditions_of(const CheckOptions& options) {
  Conditions conditions;
  conditions.temperature = options.temperature;
  conditions.activity = options.activity;
  return conditions;
}

/// Puts one answer together.
class Maker {
 public:
  Maker(const Formula& formula, const Tables& tables, const BatchOptions& options, bool dose)
      : tables_(tables),
        options_(options),
        dose_(dose),
        readings_(options.sample_g ? options.readings : with_ages(options.readings)),
        original_(formula),
        answer_{CheckResult(formula, tables, options),
                learned_from(formula),
                {},
                0,
                {},
                {},
                {},
                {},
                {},
                {},
                {},
                {},
                {},
                {}} {}

  BatchAnswer make() {
    if (options_.batch_g) original_.batch_g = *options_.batch_g;
    Formula batch = answer_.learned.formula;
    if (options_.batch_g) batch.batch_stated = true;
    if (options_.sample_g) batch.batch_g = *options_.batch_g - *options_.sample_g;
    answer_.check = check(batch, tables_, asked(batch));
    if (!answer_.check.phase) return std::move(answer_);
    foresee();
    if (dose_ && answer_.check.target) plan();
    keep();
    answer_.series = series();
    if (options_.hold)
      answer_.buffers = buffers_for(answer_.check.formula, *answer_.check.phase, aim(), tables_,
                                    {options_.jurisdiction});
    answer_.release = release();
    answer_.work = work_steps(answer_, tables_);
    return std::move(answer_);
  }

 private:
  Calibration learned_from(const Formula& formula) const {
    Formula read = formula;
    if (options_.batch_g) read.batch_g = *options_.batch_g;
    if (options_.sample_g) read.batch_g = *options_.sample_g;
    auto learned = calibrate(read, made_from(readings_), tables_, conditions_of(options_), bench());
    if (options_.sample_g)
      learned.formula = formula;  // what went into the sample does not go into the batch
    return learned;
  }
  Bench bench() const {
    return {options_.meter_ph, options_.scale_g, options_.sample_g.has_value()};
  }
  /// Those of an aged product are judged, not learned from.
  std::vector<BatchReading> made_from(const std::vector<BatchReading>& readings) const {
    return options_.sample_g ? readings : of_the_batch_as_made(readings);
  }
  CheckOptions asked(const Formula& batch) const {
    CheckOptions options = options_;
    options.batch_g.reset();
    if (!is_doubtful()) options.knowledge = answer_.learned.knowledge;
    options.remedies = options_.remedies && !dose_;
    if (options_.neutralise) options.target = neutralising(batch);
    if (dose_ && options_.every_adjuster) options.adjusters = all_adjusters();
    if (is_doubtful()) options.withheld = why_withheld(answer_.learned, batch, tables_);
    return options;
  }
  /// What is hardly possible is not absorbed but asked about first; a titration shall find what
  /// nobody knows.
  bool is_doubtful() const {
    return answer_.learned.beyond_tables && !options_.ruled_out && !options_.sample_g;
  }
  const BatchKnowledge& knowledge() const { return answer_.check.options.knowledge; }
  /// The pH for a share of an acid polymer; throws BadInput where there is none.
  pH neutralising(const Formula& batch) const {
    const auto phase = BatchKnowledge(is_doubtful() ? BatchKnowledge() : answer_.learned.knowledge)
                           .phase_of(batch, tables_, conditions_of(options_), Sureness::left_aside);
    const auto ph = phase ? ph_where_neutralised(*phase, *options_.neutralise) : std::nullopt;
    if (ph) return pH(*ph);
    throw BadInput(
        {{{},
          fmt::format("{:g} % of an acid polymer neutralised", 100 * *options_.neutralise),
          "a share above 0 and below 100 %, and a formula with carbomer or its kin",
          {}}});
  }
  std::vector<std::string> all_adjusters() const {
    std::vector<std::string> ids;
    for (const auto& adjuster : adjusters_of(tables_)) ids.push_back(adjuster.ingredient);
    return ids;
  }
  const Prediction& prediction() const { return *answer_.check.prediction; }
  /// The pH to hold, where none is said the target.
  BufferAim aim() const {
    BufferAim aim = *options_.hold;
    if (!(aim.ph > 0)) aim.ph = answer_.check.target.value_or(prediction().ph);
    return aim;
  }

  void foresee() {
    answer_.sampled = sample_ph(*answer_.check.phase, options_.draws);
    const Window& window = answer_.check.window;
    if (window.feasible)
      answer_.chance_in_window = answer_.sampled->share_between(window.low, window.high);
    answer_.measurements = measurements();
  }

  // Keeping
  /// As it stands; where grams are asked for, as it is once it reads the target.
  void keep() {
    const auto& check = answer_.check;
    const bool is_read = !answer_.learned.readings.empty() && !is_doubtful();
    if (const auto once_there = adjusted(); once_there && once_there->phase) {
      const double target = check.adjustments[*answer_.chosen].target;
      answer_.keeping =
          keeping_of({once_there->formula, *once_there->phase, check, target, true, false}, options_,
                     tables_);
      return;
    }
    const double hold_ph =
        check.adjustment_needed ? check.target.value_or(prediction().ph) : prediction().ph;
    answer_.keeping =
        keeping_of({check.formula, *check.phase, check, hold_ph, is_read, !dose_}, options_, tables_);
  }
  /// The batch as it will be known when the adjuster is in and the meter shows the target.
  std::optional<Calibration> adjusted() const {
    if (!answer_.chosen) return std::nullopt;
    const auto& one = answer_.check.adjustments[*answer_.chosen];
    if (!(one.grams > 0)) return std::nullopt;
    BatchReading there(std::clamp(one.target, 0.0, 14.0), {{one.adjuster, one.grams}});
    there.age_days = first_reading_days;
    auto readings = options_.sample_g ? std::vector<BatchReading>() : made_from(readings_);
    readings.push_back(std::move(there));
    Bench whole = bench();
    whole.titration = false;
    return calibrate(original_, with_ages(std::move(readings)), tables_, conditions_of(options_),
                     whole);
  }
  std::vector<JudgedReading> series() const {
    if (options_.sample_g) return {};
    return judge_series(original_, readings_, tables_, conditions_of(options_), bench(),
                        options_.storage);
  }

  // Measurements
  std::vector<Measurement> measurements() const {
    std::vector<Measurement> all;
    if (answer_.learned.readings.empty()) all.push_back(reading_of_batch());
    std::vector<std::size_t> seen;
    for (const auto& driver : prediction().drivers) {
      if (!driver.item || std::ranges::count(seen, *driver.item)) continue;
      seen.push_back(*driver.item);
      if (auto one = reading_of_material(*driver.item)) all.push_back(std::move(*one));
    }
    const double now = prediction().p95 - prediction().p05;
    std::erase_if(all, [&](const Measurement& m) { return m.p95 - m.p05 > 0.9 * now; });
    std::ranges::stable_sort(all, {}, [](const Measurement& m) { return m.p95 - m.p05; });
    return all;
  }
  Measurement reading_of_batch() const {
    const std::vector<BatchReading> readings{{std::clamp(prediction().ph, 0.0, 14.0), {}, {}}};
    const auto learned =
        calibrate(answer_.check.formula, readings, tables_, conditions_of(options_),
                  {options_.meter_ph, options_.scale_g, false});
    const Prediction p = predict(*learned.phase, 0);
    return {"the batch itself", "Make it without adjuster, read it and give the reading.",
            std::nullopt, p.p05, p.p95};
  }
  /// A material whose pH in water was read to ± 0.1.
  std::optional<Measurement> reading_of_material(std::size_t item) const {
    constexpr double at_percent = 10, meter = 0.1;
    Formula formula = answer_.check.formula;
    auto& line = formula.items[item];
    const auto ph = ph_in_water(line, at_percent);
    if (!ph) return std::nullopt;
    line.declared_ph_low = *ph - meter, line.declared_ph_high = *ph + meter,
    line.declared_at_percent = at_percent;
    const auto phase = knowledge().phase_of(formula, tables_, conditions_of(options_));
    const Prediction p = predict(*phase, 0);
    return Measurement{answer_.check.name_of(item),
                       fmt::format("Read the pH of {:g} g of it in {:g} g of water; write it on "
                                   "its line, in a column \"declared "
                                   "pH\", in the form \"7.1-7.3 @ {:g} %\".",
                                   at_percent, 100 - at_percent, at_percent),
                       item, p.p05, p.p95};
  }
  std::optional<double> ph_in_water(const FormulaItem& line, double at_percent) const {
    Formula alone;
    alone.items = {line, {}};
    alone.items[0].percent = at_percent;
    alone.items[1].written = alone.items[1].ingredient = "water";
    alone.items[1].percent = 100 - at_percent;
    const auto phase =
        water_phase_of(alone, tables_, conditions_of(options_), Sureness::left_aside);
    return phase ? std::optional(std::clamp(ph_of(*phase), 0.5, 13.5)) : std::nullopt;
  }

  // Dosing
  Batch batch() const {
    return {answer_.check.formula, *answer_.check.phase, prediction(), knowledge()};
  }
  void plan() {
    const auto* best = answer_.check.best_adjustment();
    if (!best) return;
    answer_.chosen = static_cast<std::size_t>(best - answer_.check.adjustments.data());
    const PlanOptions options{options_.tolerance_ph, 0.007, 3, options_.scale_g};
    answer_.plan = plan_for(batch(), best->target, best->adjuster, tables_, options, additions());
    auto& stages = answer_.check.adjustments[*answer_.chosen].stages;
    stages.clear();
    if (!answer_.plan->additions.empty())
      stages.push_back(
          {answer_.plan->additions.front().grams, answer_.plan->additions.front().expected_ph});
    answer_.curve = curve_of(*best);
    answer_.undo =
        undo_for(batch(), best->target, best->adjuster, too_far_ph, opposites(*best), tables_);
  }
  int additions() const {
    return static_cast<int>(std::ranges::count_if(
        options_.readings, [](const BatchReading& r) { return !r.added.empty(); }));
  }
  std::optional<WaterPhase> phase_with(const Adjustment& one, double share) const {
    const Formula adjusted = with_adjuster(answer_.check.formula, one.adjuster, one.percent * share,
                                           one.from_water, tables_);
    return knowledge().phase_of(adjusted, tables_, conditions_of(options_));
  }
  std::vector<CurveStep> curve_of(const Adjustment& one) const {
    constexpr int steps = 16;
    constexpr double past = 1.6;
    std::vector<CurveStep> curve;
    for (int i = 0; i <= steps; ++i) {
      const double way = static_cast<double>(i) / steps;
      const double share = past * way * way;  // a pH that is hardly held moves most at first
      if (one.percent * share > 95) break;
      const auto phase = phase_with(one, share);
      if (!phase) break;
      const Prediction p = predict(*phase, 0);
      curve.push_back({one.grams * share, p.ph, p.p05, p.p95});
    }
    return curve;
  }
  static constexpr double too_far_ph = 0.5;
  std::vector<Adjuster> opposites(const Adjustment& one) const {
    const bool acid = one.target < prediction().ph;
    std::vector<Adjuster> backs;
    for (const auto* id :
         {"sodium-hydroxide", "triethanolamine-99", "citric-acid", "lactic-acid-80"}) {
      const bool is_base = std::string_view(id).find("acid") == std::string_view::npos;
      if (is_base == acid) backs.push_back(adjuster_named(id, tables_));
    }
    return backs;
  }
  /// Inside the window by what the meter may be off, and around the target by the tolerance.
  std::optional<Interval> release() const {
    const auto& check = answer_.check;
    if (!check.target || !check.window.feasible) return std::nullopt;
    const Margin& margin = check.window.margin;
    const double around = options_.tolerance_ph + options_.meter_ph;
    const double aim = check.adjustment_needed ? *check.target : prediction().ph;
    const Interval range{std::max(check.window.low + options_.meter_ph + margin.fall, aim - around),
                         std::min(check.window.high - options_.meter_ph - margin.rise, aim + around)};
    return range.low <= range.high ? std::optional(range) : std::nullopt;
  }

  const Tables& tables_;
  const BatchOptions& options_;
  bool dose_;
  std::vector<BatchReading> readings_;  ///< with their ages
  Formula original_;                    ///< before anything was added
  BatchAnswer answer_;
};

}  // namespace

namespace {

/// What was read of a sample that does not go back is a titration's.
void require_whole_batch(const BatchOptions& options) {
  if (options.sample_g)
    throw BadInput({{{}, fmt::format("readings of a sample of {} g", *options.sample_g),
                     "readings of the batch; those of a sample are for titrate", {}}});
}

}  // namespace

BatchAnswer foresee(const Formula& formula, const Tables& tables, const BatchOptions& options) {
  require_valid(options);
  require_whole_batch(options);
  return Maker(formula, tables, options, false).make();
}

BatchAnswer adjust(const Formula& formula, const Tables& tables, const BatchOptions& options) {
  require_valid(options);
  require_whole_batch(options);
  return Maker(formula, tables, options, true).make();
}

BatchAnswer titrate(const Formula& formula, const Tables& tables, const BatchOptions& options) {
  std::vector<Problem> problems;
  const double batch_g = options.batch_g.value_or(formula.batch_g);
  if (!options.sample_g)
    add_problem(problems, {}, "the size of the sample is not said", "grams, such as 50");
  else if (!(*options.sample_g > 0 && *options.sample_g < batch_g))
    add_problem(problems, {}, fmt::format("the sample has {} g", *options.sample_g),
                fmt::format("more than 0 g and less than the batch's {} g", batch_g));
  if (options.readings.size() < 2)
    add_problem(problems, {}, fmt::format("{} readings", options.readings.size()),
                "two or more, with what was added in between");
  if (!problems.empty()) throw BadInput(std::move(problems));
  BatchOptions asked = options;
  asked.batch_g = batch_g;
  require_valid(asked);
  return Maker(formula, tables, asked, true).make();
}

}  // namespace counterion
