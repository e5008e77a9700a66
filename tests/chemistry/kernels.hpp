// SPDX-License-Identifier: MIT
// Every way that this machine has to solve many at once, and what the solver allows itself.
#pragma once

#include "lanes.hpp"

#include <counterion/chemistry/solution.hpp>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace test {

/// The kernels that this processor can run, and none: one by one.
inline const std::vector<const counterion::chemistry::LaneKernel*>& all_ways() {
  static const auto kernels = counterion::chemistry::lane_kernels();
  static const auto ways = [] {
    std::vector<const counterion::chemistry::LaneKernel*> list{nullptr};
    for (const auto& kernel : kernels) list.push_back(&kernel);
    return list;
  }();
  return ways;
}

inline std::string name_of(const counterion::chemistry::LaneKernel* kernel) {
  return kernel == nullptr ? "one by one" : std::string(kernel->name);
}

/// How far rounding of the charges can move the pH of a solution; part of the solver's contract.
inline double blur(const counterion::Solution& solution) {
  const double scale = solution.mixture().charge_scale() + 1e-7;
  return 16 * std::numeric_limits<double>::epsilon() * scale / std::abs(solution.buffer_capacity());
}

/// What of a difference is more than that; no number stays no number.
inline double beyond(double difference, double allowed) { return std::max(std::abs(difference) - allowed, 0.0); }

}  // namespace test
