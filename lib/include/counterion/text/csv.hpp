// SPDX-License-Identifier: MIT
// Comma-separated values after RFC 4180, with any delimiter and any line ending.
#pragma once

#include <counterion/error.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::text {

/// One cell; lines and columns (cells of the row) count from 1.
struct Cell {
  std::string text;
  std::size_t line = 0;
  std::size_t column = 0;
};

/// One row; an empty line is a row of one empty cell.
using CsvRow = std::vector<Cell>;

/// The rows, and what stopped the reading, if anything did.
struct Csv {
  std::vector<CsvRow> rows;
  std::vector<Problem> problems;
};

/// Reads rows separated by LF, CRLF or CR; a quote that never closes, or text after a closing
/// quote, ends the reading with a problem.
Csv read_csv(std::string_view text, char delimiter, const std::string& file);

/// Comma, semicolon or tab: the one that stands most often outside quotes in this line; comma
/// where there is none.
char guess_delimiter(std::string_view line) noexcept;

}  // namespace counterion::text
