// SPDX-License-Identifier: MIT
// Finding the table inside a sheet: its delimiter, and its header row below titles and remarks.
#pragma once

#include "columns.hpp"
#include "findings.hpp"

#include <counterion/text/csv.hpp>
#include <counterion/text/number.hpp>

#include <initializer_list>
#include <optional>
#include <span>
#include <string>

namespace counterion::formula {

using Position = std::optional<std::size_t>;

struct Sheet {
  std::vector<text::CsvRow> rows;
  char delimiter = ',';
  std::size_t header = 0;  ///< position of the header row
  Columns columns;

  std::span<const text::CsvRow> rows_below_header() const {
    return std::span(rows).subspan(header + 1);
  }
  /// Where a row has its name, best first: INCI name, ingredient, trade name.
  Position name_position(const text::CsvRow& row) const;
  /// Which decimal marks these columns show beyond doubt.
  text::DecimalMarks decimal_marks_in(std::initializer_list<Role> roles) const;
};

/// What makes a table of one kind, and what to say where there is none.
struct TableKind {
  HeaderCell (*read_cell)(std::string_view text);
  bool (*is_header)(const Columns& columns);
  bool (*is_near)(const Columns& columns);         ///< comes near to a header
  std::string (*what_lacks)(const Columns& columns);  ///< in words, what makes it none
  std::string_view nothing;                        ///< "no ingredient lines"
};

/// The sheet, or nothing, with a problem that says which column is missing and what was seen.
std::optional<Sheet> find_sheet(std::string_view text, const TableKind& kind, Findings& findings);

/// Whether a row is a `#` line; a lone "#" is a header cell.
bool is_remark(const text::CsvRow& row);

/// Whether a cell says that the row is a sum of those above: "Total", "Summe", "Total phase A".
bool is_total(const text::CsvRow& row);

/// Whether there is nothing in any cell.
bool is_blank(const text::CsvRow& row);

/// What a `# key: value` line says; empty where it has no colon.
struct Property {
  std::string key;
  std::string value;
};
std::optional<Property> property_of(const text::CsvRow& row, char delimiter);

/// The trimmed text of a cell; empty where the row ends before it.
std::string cell_of(const text::CsvRow& row, Position position);

/// Where a cell stands, or the row where there is none.
Place place_of(const std::string& file, const text::CsvRow& row, Position position = {});

/// Says the column with this head in the findings: "the column 'Menge' …".
void say_of_column(const Sheet& sheet, std::size_t position, const std::string& what,
                   Findings& findings);

/// A fault where a row has more cells with something in them than the header.
void check_width(const Sheet& sheet, const text::CsvRow& row, Findings& findings);

/// The strength in a cell, in percent; a fault where it is none.
std::optional<double> strength_in(const text::CsvRow& row, Position position,
                                  text::DecimalMarks marks, Findings& findings);

}  // namespace counterion::formula
