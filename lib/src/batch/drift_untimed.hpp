// SPDX-License-Identifier: MIT
// Changes that are known to happen at a speed that nobody has put in a table.
#pragma once

#include <counterion/batch/drift.hpp>

namespace counterion::kinetics {

/// Of the lines of a formula at this pH, one a line and effect, the surest row first; what is
/// `timed` (item and effect) is left out, and so is the carbon dioxide of the air, of which a phase
/// knows.
std::vector<UntimedChange> untimed_changes(
    const Formula& formula, double ph,
    const std::vector<std::pair<std::size_t, std::string>>& timed, const Tables& tables);

}  // namespace counterion::kinetics
