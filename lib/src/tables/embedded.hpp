// SPDX-License-Identifier: MIT
// The reference tables as the build has put them into the library.
#pragma once

#include <span>
#include <string_view>

namespace counterion::tables {

/// One table in pieces that every compiler takes as a literal; joined they are the file's bytes.
struct EmbeddedTable {
  std::string_view name;
  std::span<const std::string_view> pieces;
};

/// All tables in the order of their names.
std::span<const EmbeddedTable> embedded_tables() noexcept;

/// SHA-256 over name, line feed and text of each table in that order, in hexadecimal.
std::string_view embedded_sha256() noexcept;

}  // namespace counterion::tables
