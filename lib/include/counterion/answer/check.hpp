// SPDX-License-Identifier: MIT
// The whole answer about one formula: window, predicted pH, amounts, cautions, and what was not judged.
#pragma once

#include <counterion/answer/questions.hpp>
#include <counterion/dosing/amounts.hpp>
#include <counterion/judgement/preservation.hpp>

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
  std::vector<PreservativeState> preservation;
  std::vector<NeutralisedPolymer> polymers;
  std::vector<FiredCaution> cautions;
  std::vector<CheckedLimit> limits;
  std::vector<NotJudged> not_judged;

  /// Whether something says stop: a stop caution, an exceeded limit, or an empty window.
  bool stop() const;
  /// The name to show for a line of the formula.
  std::string name_of(std::size_t item) const;
};

/// How close to the target counts as there already, pH units: what a bench meter can tell.
inline constexpr double close_enough = 0.1;

/// Checks a formula. Throws BadInput for options that mean nothing (with the valid words), and where a
/// name may mean materials that would give different pH (with what each would give).
CheckResult check(const Formula& formula, const Tables& tables = Tables::built_in(),
                  const CheckOptions& options = {});

}  // namespace counterion
