// SPDX-License-Identifier: MIT
#include "binder.hpp"

#include <counterion/text/csv.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>

namespace counterion::tables {
namespace {

std::vector<std::string_view> texts_of(text::CsvRow& row, TextStore& store) {
  std::vector<std::string_view> texts;
  for (auto& cell : row) texts.push_back(store.keep(std::move(cell.text)));
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

}  // namespace

Grid read_grid(const Tables::NamedText& text, TextStore& store, std::vector<Problem>& problems) {
  const auto decoded = text::decode(text.text, text.file);
  auto csv = text::read_csv(decoded.text, ',', text.file);
  problems.insert(problems.end(), csv.problems.begin(), csv.problems.end());
  Grid grid;
  for (auto& row : csv.rows) {
    if (is_blank(row)) continue;
    if (grid.header.empty()) {
      grid.header = texts_of(row, store);
    } else if (row.size() != grid.header.size()) {
      problems.push_back(wrong_width(row, grid.header.size(), text.file));
    } else {
      grid.lines.push_back(row[0].line);
      grid.rows.push_back(texts_of(row, store));
    }
  }
  return grid;
}

void check_header(const Grid& grid, const std::vector<WantedColumn>& wanted, Origin origin,
                  const Tables::NamedText& text, std::vector<Problem>& problems) {
  for (const auto& [name, need] : wanted) {
    const bool must = origin == Origin::reference || need == Need::always;
    if (must && std::ranges::find(grid.header, name) == grid.header.end()) {
      add_problem(problems, {text.file, 1, 0}, fmt::format("no column {}", name),
                  fmt::format("the column {}", name));
    }
  }
  for (std::size_t i = 0; i < grid.header.size(); ++i) {
    const auto known = std::ranges::find(wanted, grid.header[i], &WantedColumn::name);
    if (known != wanted.end()) continue;
    std::vector<std::string> names;
    for (const auto& column : wanted) names.emplace_back(column.name);
    add_problem(problems, {text.file, 1, i + 1},
                fmt::format("unknown column '{}'", grid.header[i]),
                fmt::format("a column of the table {}: {}", text.name, fmt::join(names, ", ")));
  }
}

std::optional<double> read_cell_number(std::string_view text) {
  return text::read_plain_number(text);
}

}  // namespace counterion::tables
