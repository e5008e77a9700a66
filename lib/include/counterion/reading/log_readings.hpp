// SPDX-License-Identifier: MIT
// The readings of a log as they can be learned from.
#pragma once

#include <counterion/batch/calibrate.hpp>
#include <counterion/formula/reading_log.hpp>

namespace counterion {

/// The readings of a log with their ages, dilutions, temperatures and how coarse their methods are;
/// what was added before a reading belongs to it. Throws UnknownIngredient and BadInput for what
/// cannot be weighed in.
std::vector<BatchReading> readings_of(const ReadingLog& log, const Tables& tables);

/// Whether the log ends with an addition after which nothing was read: it is not counted.
bool ends_unread(const ReadingLog& log);

}  // namespace counterion
