// SPDX-License-Identifier: MIT
// Finding the table inside a sheet: its delimiter, and its header row below titles and remarks.
#pragma once

#include "columns.hpp"
#include "draft.hpp"

#include <counterion/text/csv.hpp>

namespace counterion::formula {

struct Sheet {
  std::vector<text::CsvRow> rows;
  char delimiter = ',';
  std::size_t header = 0;  ///< position of the header row
  Columns columns;
};

/// The sheet, or nothing, with a problem that says which column is missing and what was seen.
std::optional<Sheet> find_sheet(std::string_view text, Draft& draft);

/// Whether a row is a `#` line; a lone "#" is a header cell.
bool is_remark(const text::CsvRow& row);

}  // namespace counterion::formula
