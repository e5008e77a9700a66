// SPDX-License-Identifier: MIT
#include <counterion/answer/judged.hpp>
#include <counterion/batch/drift.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// A usual stock: lye of 10 % (assumption), mol in a gram.
constexpr double stock_mol_per_g = 2.5e-3;
/// No margin takes more than this for the scale.
constexpr double most_dosing_ph = 0.5;

/// What one step of the scale moves the batch by, pH units.
double scale_step(const Formula& formula, const Prediction& prediction, double scale_g) {
  const double water_kg = formula.batch_g * prediction.water_percent / 100 / 1000;
  return scale_g * stock_mol_per_g / (prediction.buffer_capacity * water_kg);
}

Margin margin_of(const Formula& formula, const Tables& tables, const Judged& judged, const JudgeOptions& options) {
  Margin margin;
  margin.meter = options.meter_ph;
  const double step = judged.prediction ? scale_step(formula, *judged.prediction, options.scale_g) : 0;
  margin.dosing = std::clamp(step, close_enough, most_dosing_ph);
  if (!judged.phase || options.sureness == Sureness::left_aside) return margin;
  const auto move = expected_move(formula, *judged.phase, tables);
  margin.fall = move.fall, margin.rise = move.rise;
  margin.drift = std::max(move.fall, move.rise);
  return margin;
}

void predict_and_preserve(const Formula& formula, const Tables& tables, const JudgeOptions& options, Judged& judged) {
  const BatchKnowledge nothing;
  judged.phase = (options.knowledge ? *options.knowledge : nothing)
                     .phase_of(formula, tables, options.conditions, options.sureness);
  if (!judged.phase) {
    judged.no_prediction = fmt::format("less than {:g} % water: there is no water phase whose pH would mean anything",
                                       least_water_percent);
    return;
  }
  judged.prediction = predict(*judged.phase, options.drivers);
  judged.preservation = preservation_of(formula, *judged.phase, *judged.prediction, options.target, tables);
  judged.electrolyte = electrolyte_of(formula, *judged.prediction, tables);
}

void find_window(const Formula& formula, const Tables& tables, const JudgeOptions& options, Judged& judged) {
  const auto predicted = judged.prediction ? std::optional(judged.prediction->ph) : std::nullopt;
  judged.window = window_of(working_ranges(formula, tables, options.judging, judged.preservation), predicted,
                            margin_of(formula, tables, judged, options), weights_of(formula, tables));
  if (!judged.phase) judged.window.target.reset();
  judged.target = options.target || !judged.phase ? options.target : judged.window.target;
  if (judged.target && judged.phase && !options.target)
    judged.preservation =
        preservation_of(formula, *judged.phase, *judged.prediction, judged.target, tables);
}

/// What is left alone stays where it is predicted.
PHInQuestion in_question(const Judged& judged, bool wished) {
  PHInQuestion ph;
  ph.target = judged.target;
  if (judged.target && judged.prediction && !judged.needs_adjustment(wished)) ph.target = judged.prediction->ph;
  if (judged.prediction) {
    ph.predicted = judged.prediction->ph;
    ph.interval = Interval{judged.prediction->p05, judged.prediction->p95};
  }
  if (judged.phase && judged.window.feasible) ph.window = Interval{judged.window.low, judged.window.high};
  return ph;
}

}  // namespace

bool Judged::stop() const {
  const auto says_stop = [](const FiredCaution& c) { return c.severity == tables::Severity::stop; };
  return no_window() || std::ranges::any_of(cautions, says_stop) ||
         std::ranges::any_of(limits, [](const CheckedLimit& l) { return l.exceeded && l.law; });
}

bool Judged::needs_adjustment(bool wished) const {
  if (!prediction || !target || std::abs(*target - prediction->ph) <= close_enough) return false;
  const bool good_as_it_is = window.feasible && prediction->p05 >= window.low && prediction->p95 <= window.high &&
                             window.desirability(prediction->ph) >= 0.8 * window.desirability(*target);
  return wished || !good_as_it_is;
}

Judged judge(const Formula& formula, const Tables& tables, const JudgeOptions& options) {
  Judged judged;
  predict_and_preserve(formula, tables, options, judged);
  find_window(formula, tables, options, judged);
  judged.cautions = cautions_of(formula, in_question(judged, options.target.has_value()), tables);
  judged.limits = limits_of(formula, tables, options.judging);
  return judged;
}

}  // namespace counterion
