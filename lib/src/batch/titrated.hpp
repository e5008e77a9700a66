// SPDX-License-Identifier: MIT
// What a titration of a raw material says about it.
#pragma once

#include <counterion/batch/material.hpp>

#include <span>
#include <vector>

namespace counterion {

/// A point of a titration as the charge that the material's known parts leave unexplained.
struct UnexplainedCharge {
  double ph = 0;
  double ionic_strength = 0;
  double mol_per_g = 0;  ///< strong charge, what was added taken off
};

/// Strong charge and buffering groups that explain the points.
struct TitratedGroups {
  double strong_charge_mol_per_g = 0;
  std::vector<double> mol_per_g;  ///< of the groups with pK 2, 3, … 12
  double rms_mol_per_g = 0;       ///< what is left unexplained
};

inline constexpr int first_group_pK = 2;
inline constexpr int last_group_pK = 12;

/// Least squares with amounts that are not negative; groups far from every point stay empty.
TitratedGroups explain(std::span<const UnexplainedCharge> points);

}  // namespace counterion
