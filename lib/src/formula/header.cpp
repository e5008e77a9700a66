// SPDX-License-Identifier: MIT
#include "header.hpp"

#include "words.hpp"

#include <counterion/text/utf8.hpp>

#include <algorithm>

namespace counterion::formula {
namespace {

constexpr std::string_view ingredient_heads = "Ingredient, INCI or Raw material";
constexpr std::string_view amount_heads = "Percent, % w/w, Amount (g) or Menge %";

Columns columns_of(const text::CsvRow& row) {
  Columns columns;
  if (is_remark(row)) return columns;
  for (const auto& cell : row) columns.cells.push_back(read_header_cell(cell.text));
  return columns;
}

bool is_header(const Columns& columns) {
  return columns.has_ingredient() && columns.has_amount();
}

bool is_blank(const text::CsvRow& row) {
  return std::ranges::all_of(row, [](const auto& cell) { return text::trim(cell.text).empty(); });
}

std::optional<Sheet> sheet_of(text::Csv& csv, char delimiter) {
  for (std::size_t i = 0; i < csv.rows.size(); ++i) {
    auto columns = columns_of(csv.rows[i]);
    if (is_header(columns)) return Sheet{std::move(csv.rows), delimiter, i, std::move(columns)};
  }
  return {};
}

/// The row that comes nearest to a header: the first with an understood cell, else the first at
/// all.
const text::CsvRow* likely_header(const std::vector<text::CsvRow>& rows) {
  const text::CsvRow* first = nullptr;
  for (const auto& row : rows) {
    if (is_blank(row) || is_remark(row)) continue;
    if (first == nullptr) first = &row;
    const auto columns = columns_of(row);
    if (columns.has_ingredient() || columns.has_amount()) return &row;
  }
  return first;
}

std::string cells_in_a_row(const text::CsvRow& row) {
  constexpr std::size_t most = 120;
  std::string text;
  for (const auto& cell : row) text += (text.empty() ? "'" : ", '") + cell.text + "'";
  if (text.size() <= most) return text;
  std::size_t cut = most;
  while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
  return text.substr(0, cut) + " …";
}

void say_missing(Draft& draft, const std::vector<text::CsvRow>& rows) {
  const auto* row = likely_header(rows);
  if (row == nullptr) {
    draft.problem({draft.file, 0, 0}, "no ingredient lines", "a header line and lines below it");
    return;
  }
  const auto columns = columns_of(*row);
  std::string expected;
  if (!columns.has_ingredient()) {
    expected = "a column of ingredients (" + std::string(ingredient_heads) + ")";
  }
  if (!columns.has_amount()) {
    expected += (expected.empty() ? "" : " and ") + std::string("a column of amounts (") +
                std::string(amount_heads) + ")";
  }
  draft.problem({draft.file, row->front().line, 0}, "columns " + cells_in_a_row(*row), expected);
}

std::string_view first_table_line(std::string_view text) {
  while (!text.empty()) {
    const auto end = std::min(text.find_first_of("\r\n"), text.size());
    const auto line = text.substr(0, end);
    if (!text::trim(line).empty() && !line.starts_with('#')) return line;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return {};
}

}  // namespace

bool is_remark(const text::CsvRow& row) {
  const auto first = text::trim(row.front().text);
  return first.size() > 1 && first.starts_with('#');
}

std::optional<Sheet> find_sheet(std::string_view text, Draft& draft) {
  std::optional<Sheet> best;
  std::vector<Problem> problems;
  for (const char delimiter : {',', ';', '\t'}) {
    auto csv = text::read_csv(text, delimiter, draft.file);
    auto sheet = sheet_of(csv, delimiter);
    if (!sheet || (best && sheet->columns.known() <= best->columns.known())) continue;
    best = std::move(sheet);
    problems = std::move(csv.problems);
  }
  if (!best) {
    auto csv = text::read_csv(text, text::guess_delimiter(first_table_line(text)), draft.file);
    problems = std::move(csv.problems);
    if (problems.empty()) say_missing(draft, csv.rows);
  }
  draft.problems.insert(draft.problems.end(), problems.begin(), problems.end());
  return best;
}

}  // namespace counterion::formula
