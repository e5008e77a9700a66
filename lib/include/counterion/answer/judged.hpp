// SPDX-License-Identifier: MIT
// Prediction and judgement of one formula together, before any amount is worked out.
#pragma once

#include <counterion/batch/calibrate.hpp>
#include <counterion/judgement/cautions.hpp>
#include <counterion/judgement/electrolyte.hpp>

namespace counterion {

/// What to judge by.
struct JudgeOptions {
  std::optional<double> target;  ///< pH to aim for instead of the one that the window suggests
  Judging judging;
  Conditions conditions;
  double meter_ph = 0.1;         ///< what the meter or strip may be off by
  double scale_g = 0.01;         ///< what the scale resolves
  std::size_t drivers = 6;       ///< most drivers of the prediction to work out
  Sureness sureness = Sureness::known;  ///< left aside: the interval is that of the activity model alone
  const BatchKnowledge* knowledge = nullptr;  ///< what readings of the batch have taught, where there are any
};

/// A formula predicted and judged; indices of items are lines of the formula.
struct Judged {
  std::optional<WaterPhase> phase;
  std::optional<Prediction> prediction;
  std::string no_prediction;     ///< why there is none
  Window window;                 ///< without a water phase it has no target and means nothing
  std::optional<double> target;  ///< aimed for: the wish or the window's
  Preservation preservation;
  std::optional<Electrolyte> electrolyte;
  std::vector<FiredCaution> cautions;
  std::vector<CheckedLimit> limits;

  /// Whether something says stop: a stop caution, an exceeded limit of law, or an empty window.
  bool stop() const;
  /// Whether no pH suits a formula that has one.
  bool no_window() const { return phase && !window.feasible; }
  /// Whether the target is far enough from the prediction to weigh something; what is surely inside the
  /// window and nearly as welcome is left alone unless the target was a wish.
  bool needs_adjustment(bool wished) const;
};

/// How close to the target counts as there already, pH units: what a bench meter can tell.
inline constexpr double close_enough = 0.1;

/// Chemistry first, then judgement; each asks only what stands below it.
Judged judge(const Formula& formula, const Tables& tables, const JudgeOptions& options = {});

}  // namespace counterion
