// SPDX-License-Identifier: MIT
// How much of each preservative is there to work, and on what. Nothing here says that a product is
// preserved: only a challenge test (ISO 11930) and a qualified assessor can.
#pragma once

#include <counterion/batch/prediction.hpp>

namespace counterion {

/// A point of a preservative's curve.
struct ActiveAt {
  double ph = 0;
  double percent = 0;  ///< undissociated and free, percent of the water phase
};

/// An acid preservative of the formula, with all its salts: the undissociated acid is what works.
/// Percents are of the water phase.
struct PreservativeState {
  std::vector<std::size_t> items;  ///< lines that bring it
  std::string acid;                ///< substance id
  std::string acid_name;
  double percent_as_acid = 0;      ///< of the formula, all of it counted as acid
  double share_at_predicted = 0;   ///< share that is undissociated and free in the water, 0 to 1
  std::optional<double> share_at_target;
  double share_held = 0;           ///< share that oil and micelles hold, at the target or else as it stands
  std::vector<std::string> unknown_losses;  ///< where more of it may go, how much being in no table
  double active_at_predicted = 0;  ///< percent of the water phase
  std::optional<double> active_at_target;
  double percent_out = 0;          ///< percent of the formula beyond its solubility, at the target or as it stands
  std::optional<double> least_active;  ///< published inhibition figure, percent of the water phase
  std::optional<double> least_active_upper;  ///< its upper end, where the source prints a span
  std::optional<double> highest_ph;    ///< where the active amount falls to `least_active`
  std::optional<double> firm_highest_ph;  ///< where it falls to `least_active_upper`
  std::string condition;               ///< of `least_active`: against what
  std::string source;                  ///< of the same
  std::string row_id;
  std::vector<ActiveAt> curve;         ///< from pH 3 to 8
  /// Active amount over the inhibition figure, at the target or else as it stands; 0 without a figure.
  double fraction() const;
};

/// A preservative that is no acid, against the dose that is usual for it.
struct DosedPreservative {
  std::size_t item = 0;
  double percent = 0;
  std::optional<double> usual_low, usual_high;  ///< percent of the formula
  std::string source;                           ///< of that dose
  std::string row_id;
  bool enough() const { return !usual_low || percent >= *usual_low * (1 - 1e-9); }
};

/// What a formula has against one kind of microorganism.
struct Coverage {
  std::string_view group;          ///< gram-positive, gram-negative, yeast, mould
  std::vector<std::size_t> items;  ///< lines that are known to act on it and are there in force
};

/// A reason for a lower microbiological risk (ISO 29621); it makes no preserved product.
struct LowerRisk {
  std::string what;
  std::string source;
  std::string row_id;
};

/// Everything that works against microorganisms in a formula.
struct Preservation {
  std::vector<PreservativeState> acids;
  std::vector<DosedPreservative> others;
  std::vector<Coverage> spectrum;       ///< empty where no preservative is known
  bool spectrum_known = false;          ///< the tables say of every preservative on what it acts
  std::optional<double> combined_at_predicted;  ///< sum of the acids' fractions, where two or more have a figure
  std::optional<double> combined_at_target;
  std::optional<double> combined_highest_ph;    ///< where that sum falls to 1
  std::optional<double> water_activity;  ///< estimate (Raoult); none without a water phase
  std::vector<LowerRisk> lower_risk;

  bool none() const { return acids.empty() && others.empty(); }
  /// Whether the acids at the target, or else as they stand, reach the inhibition figures together.
  bool acids_suffice() const;
};

/// Share of a substance of the phase that is undissociated and free in the water at a pH; 0 when the phase has none of it.
double undissociated_share(const WaterPhase& phase, std::string_view substance, double ph,
                           double ionic_strength);

/// What a formula has against microorganisms, at its predicted pH and, where there is one, at a target.
/// Fractions of two acids add up as doses of substances that act alike do (assumption).
Preservation preservation_of(const Formula& formula, const WaterPhase& phase, const Prediction& prediction,
                             std::optional<double> target, const Tables& tables);

/// Whether a line's preservative does its work without an acid form and is there in its usual dose.
bool is_full_without_acid(const FormulaItem& item, const Tables& tables);

}  // namespace counterion
