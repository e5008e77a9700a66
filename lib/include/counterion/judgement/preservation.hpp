// SPDX-License-Identifier: MIT
// How much of each acid preservative is in its active form.
#pragma once

#include <counterion/batch/prediction.hpp>

namespace counterion {

/// An acid preservative of the formula: the undissociated acid is what works. Percents are of the
/// water phase. Nothing here says that a product is preserved: only a challenge test can.
struct PreservativeState {
  std::size_t item = 0;
  std::string acid;                ///< substance id
  std::string acid_name;
  double percent_as_acid = 0;      ///< of the formula, all of it counted as acid
  double share_at_predicted = 0;   ///< share that is undissociated and free in the water, 0 to 1
  std::optional<double> share_at_target;
  double share_held = 0;           ///< share that oil and micelles hold, at the target or else as it stands
  double active_at_predicted = 0;  ///< percent of the water phase
  std::optional<double> active_at_target;
  std::optional<double> least_active;  ///< published inhibition figure, percent of the water phase
  std::optional<double> highest_ph;    ///< where the active amount falls to `least_active`
  std::string condition;               ///< of `least_active`: against what
  std::string source;                  ///< of the same
  std::string row_id;
};

/// Share of a substance of the phase that is undissociated and free in the water at a pH; 0 when the phase has none of it.
double undissociated_share(const WaterPhase& phase, std::string_view substance, double ph,
                           double ionic_strength);

/// One entry for each acid preservative.
std::vector<PreservativeState> preservation_of(const Formula& formula, const WaterPhase& phase,
                                               const Prediction& prediction,
                                               std::optional<double> target, const Tables& tables);

}  // namespace counterion
