// SPDX-License-Identifier: MIT
// Least squares in which some unknowns, being amounts, may not go below zero.
#pragma once

#include <cstddef>
#include <vector>

namespace counterion {

/// A matrix by its columns, all of the same length.
using Columns = std::vector<std::vector<double>>;

/// The x that makes |A x - b| least with x[j] >= 0 but where `free[j]` (missing: not free). Active
/// set of Lawson and Hanson (Solving Least Squares Problems, 1974, chapter 23; from memory), each
/// subproblem by Householder reflections. Throws BadInput when the columns are not as long as b, or
/// not finite.
std::vector<double> nonnegative_least_squares(const Columns& A, const std::vector<double>& b,
                                              const std::vector<bool>& free = {});

}  // namespace counterion
