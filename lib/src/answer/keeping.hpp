// SPDX-License-Identifier: MIT
// Whether the pH of a product will stay.
#pragma once

#include <counterion/answer/batch_answer.hpp>

namespace counterion {

/// A product that is about to be kept: its formula and its phase as readings have it.
struct Kept {
  const Formula& formula;
  const WaterPhase& phase;
  const CheckResult& check;
  double hold_ph = 7;        ///< at which a buffer would hold it
  bool is_read = false;      ///< with this meter
  bool seek_buffers = true;  ///< that would hold it; they take ten times as long as all the rest
};

/// The forecast with all that follows from it. Throws BadInput for storage or days that mean
/// nothing.
Keeping keeping_of(const Kept& kept, const BatchOptions& options, const Tables& tables);

}  // namespace counterion
