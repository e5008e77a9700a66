// SPDX-License-Identifier: MIT
// How a product is kept, and how old it was, in words.
#pragma once

#include <counterion/batch/drift.hpp>

#include <optional>
#include <string_view>
#include <vector>

namespace counterion::cli {

/// "7 days", "12 weeks", "3 months", "2 y" in days; none where it is no such time.
std::optional<double> days_in(std::string_view text);

/// "25", "12 weeks at 45", "90 days at 40, then 25": stays one after another, parted by commas,
/// semicolons or "then"; the last may be without its time, and goes on (0 days). Throws BadInput
/// with every fault.
std::vector<Stay> storage_in(std::string_view text);

}  // namespace counterion::cli
