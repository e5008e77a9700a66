// SPDX-License-Identifier: MIT
// The distribution of a predicted pH, by solving it for many draws of everything that is not sure.
#pragma once

#include <counterion/batch/moved_phase.hpp>

#include <cstdint>

namespace counterion {

/// Draws of a pH in ascending order.
struct SampledPH {
  std::vector<double> draws;
  /// The pH below which this share (0 to 1) of the draws lies.
  double quantile(double share) const;
  /// The share of the draws inside low to high.
  double share_between(double low, double high) const;
};

/// Draws from all drivers of a phase together (quasi-random, a power of two of them), each solved.
/// What readings have taught is kept. Throws BadInput for a count that is no power of two.
SampledPH sample_ph(const WaterPhase& phase, std::size_t count = 4096, std::uint64_t seed = 0);

/// Draws of the charge (mol/kg of water, in ascending order) that takes a phase from one pH to
/// another, its buffering being what is not sure; strong acid and lye that nobody knows of cancel
/// out. `from_half` is the 90 % half width of where it starts. Positive where the way is down.
std::vector<double> sample_charge_between(const WaterPhase& phase, double from, double from_half,
                                          double to, std::size_t count = 1024,
                                          std::uint64_t seed = 0);

}  // namespace counterion
