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
  return std::ranges::all_of(row, [](const text::Cell& cell) { return cell.text.empty(); });
}

Problem wrong_width(const text::CsvRow& row, std::size_t width, const std::string& file) {
  return {{file, row[0].line, 0},
          std::to_string(row.size()) + " cells",
          std::to_string(width) + " cells as in the header",
          {}};
}

}  // namespace

/// A decimal comma, which a spreadsheet writes where it separates cells with semicolons.
bool is_decimal_comma(std::string_view cell) {
  const auto comma = cell.find(',');
  const auto digits = [](std::string_view text) {
    return !text.empty() && text.find_first_not_of("0123456789") == text.npos;
  };
  const auto whole = cell.substr(cell.starts_with('-') ? 1 : 0, comma);
  return comma != cell.npos && digits(cell.substr(comma + 1)) &&
         digits(whole.substr(0, whole.find(',')));
}

/// Cells as a person's spreadsheet saves them: no blanks around, decimal points.
void tidy(text::CsvRow& row, bool decimal_commas) {
  for (auto& cell : row) {
    cell.text = std::string(text::trim(cell.text));
    if (decimal_commas && is_decimal_comma(cell.text)) std::ranges::replace(cell.text, ',', '.');
  }
}

text::Csv cells_of(const Tables::NamedText& text, Origin origin, std::vector<Problem>& problems) {
  try {
    const auto decoded = text::decode(text.text, text.file);
    const bool own = origin == Origin::own_folder;
    const char delimiter =
        own ? text::guess_delimiter(decoded.text.substr(0, decoded.text.find('\n'))) : ',';
    auto csv = text::read_csv(decoded.text, delimiter, text.file);
    if (own)
      for (auto& row : csv.rows) tidy(row, delimiter != ',');
    return csv;
  } catch (const BadInput& error) {
    problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    return {};
  }
}

Grid read_grid(const Tables::NamedText& text, Origin origin, TextStore& store,
               std::vector<Problem>& problems) {
  auto csv = cells_of(text, origin, problems);
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
    if (need == Need::own_only) continue;
    if (origin == Origin::reference && std::ranges::find(grid.header, name) == grid.header.end()) {
      add_problem(problems, {text.file, 1, 0}, fmt::format("no column {}", name),
                  fmt::format("the column {}", name));
    }
  }
  for (std::size_t i = 0; i < grid.header.size(); ++i) {
    const auto twice = std::ranges::find(grid.header, grid.header[i]);
    if (twice - grid.header.begin() != static_cast<std::ptrdiff_t>(i))
      add_problem(problems, {text.file, 1, i + 1},
                  fmt::format("a second column '{}'", grid.header[i]), "every column once");
    const auto known = std::ranges::find(wanted, grid.header[i], &WantedColumn::name);
    if (known != wanted.end() && (known->need != Need::own_only || origin == Origin::own_folder))
      continue;
    std::vector<std::string> names;
    for (const auto& column : wanted) names.emplace_back(column.name);
    add_problem(problems, {text.file, 1, i + 1}, fmt::format("unknown column '{}'", grid.header[i]),
                fmt::format("a column of the table {}: {}", text.name, fmt::join(names, ", ")));
  }
}

std::optional<double> read_cell_number(std::string_view text) {
  return text::read_plain_number(text);
}

}  // namespace counterion::tables
