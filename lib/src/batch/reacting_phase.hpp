// SPDX-License-Identifier: MIT
// A water phase whose parts react, at any extent of their reactions.
#pragma once

#include <counterion/batch/water_phase.hpp>

#include "kinetics.hpp"

#include <span>

namespace counterion::kinetics {

/// A reaction of one part of a phase. Its extent runs from 0, freshly mixed, to 1, all of it
/// reacted.
struct PartReaction {
  const TimedReaction* reaction = nullptr;
  std::size_t part = 0;
  std::size_t number = 0;               ///< among the reactions of this part
  double share = 1;                     ///< of the part's moles that react
  double molality = 0;                  ///< of what reacts, mol/kg of water
  double built = 0;                     ///< the extent that the phase as built stands for
  WaterPhase::Part turnover;            ///< of a mole that reacts
  std::optional<std::size_t> acid;      ///< the protolyte from which the reactant comes back
  std::optional<std::size_t> reactant;  ///< the protolyte that reacts, which oil may hold
  double share_of_way_back = 1;         ///< where several parts come back from one acid
};

/// Whether a part of this phase reacts at a known speed.
bool reacts(const Formula& formula, const WaterPhase& phase, const Tables& tables);

/// How far off the middle an extent may be, mol/kg of water.
struct Progress {
  double low = 0, high = 0;
};

/// A phase ready to be looked at at any extents; those as built give back the phase itself.
class ReactingPhase {
 public:
  ReactingPhase(const Formula& formula, WaterPhase phase, const Tables& tables);

  const std::vector<PartReaction>& reactions() const { return reactions_; }
  /// As built, with nothing yet of what will appear.
  const WaterPhase& built() const { return phase_; }
  std::vector<double> built_extents() const;
  /// Brings a copy of the mixture as built to these extents, one a reaction, whatever it stood at.
  void mix(std::span<const double> extents, chemistry::Mixture& mixture) const;
  /// The phase at these extents.
  WaterPhase at(std::span<const double> extents) const;
  /// The same with what is not sure of them as drivers.
  WaterPhase at(std::span<const double> extents, std::span<const Progress> progress) const;

 private:
  void add_part(const Formula& formula, std::size_t part, const Tables& tables);
  WaterPhase::Part turnover_in(const WaterPhase::Part& part, const TimedReaction& reaction,
                               double most, const Tables& tables);
  void share_ways_back();
  void add_escape(std::span<const double> extents, WaterPhase& phase) const;

  WaterPhase phase_;
  std::vector<PartReaction> reactions_;
};

/// A substance's name without what stands in brackets behind it.
std::string plain_name(const tables::Substance& substance);

/// A reaction in words: "Urea turns into ammonia and carbonic acid".
std::string in_words(const PartReaction& reaction, const Formula& formula, const Tables& tables,
                     std::size_t item);

}  // namespace counterion::kinetics
