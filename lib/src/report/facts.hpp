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

/// Names of lines with commas and "and".
std::string joined_names(const CheckResult& result, const std::vector<std::size_t>& items);

/// Positions of the remedies that change a line which a conflict is about.
std::vector<std::size_t> remedies_of(const Conflict& conflict, const CheckResult& result);

/// Ids of the cautions about a preservative and something that may weaken it.
std::vector<std::string> weakening(const CheckResult& result);

}  // namespace counterion::report
