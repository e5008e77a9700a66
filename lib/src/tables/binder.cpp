// SPDX-License-Identifier: MIT
#include "binder.hpp"

#include <counterion/text/csv.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>

namespace counterion::tables {
namespace {

std::vector<std::string> texts_of(const text::CsvRow& row) {
  std::vector<std::string> texts;
  for (const auto& cell : row) texts.push_back(cell.text);
  return texts;
}

bool is_blank(const text::CsvRow& row) {
  return row.size() == 1 && row[0].text.empty();
}

Problem wrong_width(const text::CsvRow& row, std::size_t width, const std::string& file) {
  return {{file, row[0].line, 0},
          std::to_string(row.size()) + " cells",
          std::to_string(width) + " cells as in the header",
          {}};
}

bool contains(const std::vector<std::string>& list, const std::string& word) {
  return std::ranges::find(list, word) != list.end();
}

}  // namespace

Grid read_grid(const Tables::NamedText& text, std::vector<Problem>& problems) {
  const auto decoded = text::decode(text.text, text.file);
  const auto csv = text::read_csv(decoded.text, ',', text.file);
  problems.insert(problems.end(), csv.problems.begin(), csv.problems.end());
  Grid grid;
  for (const auto& row : csv.rows) {
    if (is_blank(row)) continue;
    if (grid.header.empty()) {
      grid.header = texts_of(row);
    } else if (row.size() != grid.header.size()) {
      problems.push_back(wrong_width(row, grid.header.size(), text.file));
    } else {
      grid.rows.push_back(texts_of(row));
      grid.lines.push_back(row[0].line);
    }
  }
  return grid;
}

void check_header(const Grid& grid, const std::vector<std::string>& wanted,
                  const Tables::NamedText& text, std::vector<Problem>& problems) {
  for (const auto& name : wanted) {
    if (!contains(grid.header, name)) {
      add_problem(problems, {text.file, 1, 0}, "no column " + name, "the column " + name);
    }
  }
  for (std::size_t i = 0; i < grid.header.size(); ++i) {
    if (!contains(wanted, grid.header[i])) {
      add_problem(problems, {text.file, 1, i + 1}, "unknown column '" + grid.header[i] + "'",
                  "a column of the table " + text.name);
    }
  }
}

std::optional<double> read_cell_number(const std::string& text) {
  return text::read_plain_number(text);
}

}  // namespace counterion::tables
