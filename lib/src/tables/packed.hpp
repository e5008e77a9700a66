// SPDX-License-Identifier: MIT
// The reference tables as the build has put them into the library: every text once, every row a run
// of numbers. Nothing is parsed or copied at run time; rows become views of these texts.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace counterion::tables {

/// A text as a place in one of the pieces.
struct PackedText {
  std::uint16_t piece = 0;
  std::uint16_t begin = 0;
  std::uint16_t length = 0;
};

/// All tables. A cell holds, in the order of each_field, the position of a
/// text or number, that position + 1 or 0 for none, a whole number or the rank of a word.
struct PackedTables {
  std::span<const std::string_view> pieces;
  std::span<const PackedText> texts;
  std::span<const double> numbers;
  std::span<const std::uint32_t> row_counts;  ///< in the order of table_members
  std::span<const std::uint32_t> cells;
  std::string_view version;
  std::string_view schema_version;
  std::string_view sha256;
};

/// What the build has written.
const PackedTables& packed_tables() noexcept;

}  // namespace counterion::tables
