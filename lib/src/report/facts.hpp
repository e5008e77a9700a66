// SPDX-License-Identifier: MIT
// What both faces of an answer look up in it.
#pragma once

#include <counterion/answer/check.hpp>

namespace counterion::report {

/// The row that gives an adjuster's usual stock strength; null when there is none.
inline const tables::Level* stock_row(std::string_view ingredient, const Tables& tables) {
  for (const auto& row : tables.levels_of(ingredient))
    if (row.kind == "adjuster-stock" && row.rank == 1) return &row;
  return nullptr;
}

/// Whether there are grams to weigh: the adjuster reaches the target and nothing forbids it.
inline bool weighable(const Adjustment& adjustment) {
  return adjustment.possible && adjustment.withheld.empty();
}

}  // namespace counterion::report
