// SPDX-License-Identifier: MIT
// A water phase as it would be with its uncertain quantities off their middles.
#pragma once

#include <counterion/batch/water_phase.hpp>

#include <span>

namespace counterion {

/// Standard deviations from the middle of a normal distribution to the end of its 90 % interval.
inline constexpr double deviates_to_end = 1.6448536269514722;

/// How far a driver is off its middle, in its own unit, for a standard normal deviate. Of an
/// acidity or alkalinity whose sign is sure the logarithm is normal, anything else is in two
/// halves.
double deviation_of(const Driver& driver, double deviate, const WaterPhase& phase);

/// The mixture of a phase for one set of deviates after another; the phase must outlive it.
class MovedPhase {
 public:
  /// `capacity` (mol/kg of water and pH) lets air be left out that moves the pH by less than 0.001;
  /// 0 keeps it.
  explicit MovedPhase(const WaterPhase& phase, double capacity = 0)
      : phase_(phase), mixture_(phase.mixture), least_charge_(1e-3 * capacity) {}
  /// The mixture with every driver moved by its deviate, in the drivers' order; valid until the
  /// next call.
  const chemistry::Mixture& at(std::span<const double> deviates);
  /// Moves all drivers of a phase for good, but for the air's; their intervals become as wide to
  /// both sides as they are narrow steps away.
  static void settle(WaterPhase& phase, std::span<const double> deviates);
  /// The pH of the phase with its drivers moved.
  double ph_at(std::span<const double> deviates);

 private:
  void reset();
  void move(const Driver& driver, double by);
  void move_part(const WaterPhase::Part& part, double molality, double tied_charge = 0);
  void move_reaction(const WaterPhase::Part& part, double molality);
  double solved_x();
  double with_air(const Driver& air, double x);
  void move_every_pK(double by);

  const WaterPhase& phase_;
  chemistry::Mixture mixture_;
  double least_charge_ = 0;
  std::optional<chemistry::Root> middle_;  ///< of the phase as it is
  double strong_charge_ = 0;
  double air_ = 0;  ///< how far it is from closed (0) to at rest with the air (1)
};

}  // namespace counterion
