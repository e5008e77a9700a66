// SPDX-License-Identifier: MIT
// The whole answer about one formula: window, predicted pH, amounts, cautions, and what was not judged.
#pragma once

#include <counterion/answer/questions.hpp>
#include <counterion/answer/remedies.hpp>
#include <counterion/dosing/amounts.hpp>

namespace counterion {

/// What to assume and what to aim for.
struct CheckOptions {
  std::optional<pH> target;             ///< instead of the one that the window suggests
  std::optional<double> batch_g;        ///< instead of the formula's
  std::string product_type;             ///< instead of the formula's, when not empty
  std::string use;                      ///< instead of the formula's, when not empty
  std::string jurisdiction;             ///< market whose limits apply; empty = all
  Temperature temperature = celsius(25);
  Activity activity = Activity::davies;
  std::vector<std::string> adjusters = {"citric-acid", "lactic-acid-80", "sodium-hydroxide",
                                        "triethanolamine-99", "arginine"};
  double meter_ph = 0.1;                ///< what the meter or strip may be off by, pH units
  bool remedies = true;                 ///< look for remedies where something says stop
  std::vector<std::string> without;     ///< no remedy brings these in: names of ingredients or classes
  std::vector<std::string> keep;        ///< no remedy changes these
  double tolerance_ph = 0.1;            ///< how near to the target is near enough
  double scale_g = usual_scale_g;       ///< what the scale resolves
  std::string withheld;                 ///< why no grams are given of anything; empty otherwise
  BatchKnowledge knowledge;             ///< what readings of the batch have taught
};

/// Something that the answer is silent about, and why.
struct NotJudged {
  std::string what;
  std::string why;
};

/// The answer. Indices of items are lines of `formula.items`.
struct CheckResult {
  CheckResult(Formula checked, Tables looked_up_in, CheckOptions asked)
      : formula(std::move(checked)), tables(std::move(looked_up_in)), options(std::move(asked)) {}

  Formula formula;
  Tables tables;
  CheckOptions options;
  std::vector<Question> questions;  ///< names that may mean several materials, what was taken first
  std::optional<Prediction> prediction;
  std::string no_prediction;  ///< why there is none
  Window window;
  std::optional<double> target;      ///< aimed for: the wish or the window's
  bool adjustment_needed = false;    ///< false: leave it alone (or nothing can be aimed for)
  std::vector<Adjustment> adjustments;
  Preservation preservation;
  std::optional<Electrolyte> electrolyte;
  std::vector<NeutralisedPolymer> polymers;
  std::vector<FiredCaution> cautions;
  std::vector<CheckedLimit> limits;
  std::vector<Remedy> remedies;      ///< where something says stop, least change first
  std::vector<NotJudged> not_judged;
  bool stops = false;                ///< see stop()

  std::optional<WaterPhase> phase;   ///< that was predicted; none without water

  /// The adjustment to name first: it reaches the target, exceeds no limit and brings the fewest cautions; one that is
  /// in the batch already goes before others, and so does what makers have at hand. Null where none does.
  const Adjustment* best_adjustment() const;
  /// Whether something says stop: a stop caution, an exceeded limit, or an empty window.
  bool stop() const { return stops; }
  /// The name to show for a line of the formula.
  std::string name_of(std::size_t item) const;
};

/// Checks a formula. Throws BadInput for options that mean nothing (with the valid words), and where a
/// name may mean materials that would give different pH (with what each would give).
CheckResult check(const Formula& formula, const Tables& tables = Tables::built_in(),
                  const CheckOptions& options = {});

}  // namespace counterion
