// SPDX-License-Identifier: MIT
// Writes tables as the C++ source of a PackedTables.
#pragma once

#include "content.hpp"

#include <string>

namespace counterion::tables {

/// What a packed set of tables says of itself.
struct PackedVersions {
  std::string version;
  std::string schema_version;
  std::string sha256;
};

/// The source of packed_tables() for these rows. Throws Error when there is more than the form holds.
std::string packed_source(const Rows& rows, const PackedVersions& versions);

}  // namespace counterion::tables
