// SPDX-License-Identifier: MIT
// What the tables say of measuring: levels of `measurement`.
#pragma once

#include <counterion/tables/tables.hpp>

#include <string>
#include <string_view>

namespace counterion {

/// A figure of the tables and who says so; 0 and nobody where they say nothing.
struct Figure {
  double value = 0;
  std::string source;
  std::string row_id;
};

inline Figure figure(std::string_view kind, const Tables& tables) {
  for (const auto& row : tables.levels_of("measurement"))
    if (row.kind == kind && row.rank == 1)
      return {row.value, std::string(row.provenance.source), std::string(row.provenance.row_id)};
  return {};
}

}  // namespace counterion
