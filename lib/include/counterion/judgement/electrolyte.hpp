// SPDX-License-Identifier: MIT
// Salt against thickeners, and opposite charges that meet.
#pragma once

#include <counterion/batch/prediction.hpp>

namespace counterion {

/// A thickener and the salt that it stands in.
struct ThickenerState {
  std::size_t item = 0;
  double starts = 0;               ///< mol/kg of a 1:1 salt where it begins to thin
  std::optional<double> complete;  ///< where nearly all of its thickness is gone
  std::string condition;           ///< of these figures
  std::string source;
  std::string row_id;
};

/// Salts and charges of a formula.
struct Electrolyte {
  double load = 0;  ///< ionic strength of the water phase: mol/kg of a 1:1 salt
  std::vector<ThickenerState> thickeners;
  std::vector<std::size_t> anionic, cationic;  ///< lines whose charge may find another

  bool thins(const ThickenerState& state) const { return load > state.starts; }
  bool gone(const ThickenerState& state) const { return state.complete && load >= *state.complete; }
  bool opposite_charges_meet() const { return !anionic.empty() && !cationic.empty(); }
};

/// The load of the phase as it was predicted, before any adjuster.
Electrolyte electrolyte_of(const Formula& formula, const Prediction& prediction, const Tables& tables);

}  // namespace counterion
