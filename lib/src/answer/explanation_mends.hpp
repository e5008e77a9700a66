// SPDX-License-Identifier: MIT
// What to do about each of the leading causes, and whether they agree about it.
#pragma once

#include "explanation_standing.hpp"

namespace counterion {

/// Fills `standings`, `mends` and `withheld` of an explanation whose causes are known; `learned` is
/// what its readings teach.
void add_mends(Explanation& explanation, std::span<const BatchReading> readings,
               const Calibration& learned);

}  // namespace counterion
