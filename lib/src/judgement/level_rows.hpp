// SPDX-License-Identifier: MIT
// The row of levels to take where several say something.
#pragma once

#include <counterion/tables/tables.hpp>

namespace counterion {

/// The first choice of a subject's levels of one kind; null when there is none.
inline const tables::Level* rank_one_level(std::string_view subject, std::string_view kind, const Tables& tables) {
  for (const auto& row : tables.levels_of(subject))
    if (row.kind == kind && row.rank == 1) return &row;
  return nullptr;
}

}  // namespace counterion
