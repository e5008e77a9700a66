// SPDX-License-Identifier: MIT
// Least squares for readings: few equations J u = wanted of unit error, many deviates u of unit
// spread.
#pragma once

#include <limits>
#include <vector>

namespace counterion::algebra {

double dot(const std::vector<double>& a, const std::vector<double>& b);

inline constexpr double no_bound = -std::numeric_limits<double>::infinity();

/// The most probable deviates, none below its `least`. Those without a bound are summed out first,
/// which leaves a small problem for the others.
std::vector<double> most_probable(const std::vector<std::vector<double>>& J,
                                  const std::vector<double>& wanted,
                                  const std::vector<double>& least);

/// Directions v, square to each other, in which the covariance has shrunk: I - Σ v vᵀ = (I +
/// JᵀJ)⁻¹.
std::vector<std::vector<double>> known_directions(const std::vector<std::vector<double>>& J);

/// log det(I + J Jᵀ).
double log_determinant(const std::vector<std::vector<double>>& J);

}  // namespace counterion::algebra
