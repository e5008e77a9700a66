// SPDX-License-Identifier: MIT
#include "header.hpp"

#include "amount.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

constexpr std::array<char, 3> delimiters{',', ';', '\t'};
const WordSet total_words{
    "total",      "totals",   "sum",           "summe",     "gesamt", "gesamtsumme", "gesamtmenge",
    "totale",     "somme",    "suma",          "soma",      "somma",  "totaal",      "totalt",
    "grandtotal", "subtotal", "zwischensumme", "insgesamt", "razem",  "soustotal",   "subtotale"};

bool says_total(std::string_view text) {
  if (total_words.contains(text::normalise(text))) return true;
  const auto words = words_of(text);
  return words.size() > 1 && total_words.contains(words[0]) &&
         (words[1] == "%" || read_header_cell(words[1]).role == Role::phase);
}

Columns columns_of(const text::CsvRow& row, const TableKind& kind) {
  Columns columns;
  if (is_remark(row)) return columns;
  for (const auto& cell : row) columns.cells.push_back(kind.read_cell(cell.text));
  return columns;
}

std::optional<Sheet> sheet_of(text::Csv& csv, char delimiter, const TableKind& kind) {
  for (std::size_t i = 0; i < csv.rows.size(); ++i) {
    auto columns = columns_of(csv.rows[i], kind);
    if (kind.is_header(columns)) {
      return Sheet{std::move(csv.rows), delimiter, i, std::move(columns)};
    }
  }
  return {};
}

/// The row that comes nearest to a header: the first with an understood cell, else the first at
/// all.
const text::CsvRow* likely_header(const std::vector<text::CsvRow>& rows, const TableKind& kind) {
  const text::CsvRow* first = nullptr;
  for (const auto& row : rows) {
    if (is_blank(row) || is_remark(row)) continue;
    if (first == nullptr) first = &row;
    if (kind.is_near(columns_of(row, kind))) return &row;
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

void say_missing(const std::vector<text::CsvRow>& rows, const TableKind& kind,
                 Findings& findings) {
  const auto* row = likely_header(rows, kind);
  if (row == nullptr) {
    findings.problem({findings.file, 0, 0}, std::string(kind.nothing),
                     "a header line and lines below it");
    return;
  }
  findings.problem({findings.file, row->front().line, 0}, "columns " + cells_in_a_row(*row),
                   kind.what_lacks(columns_of(*row, kind)));
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

/// The one that makes a row come near to a header, else the one that the first line shows.
char likely_delimiter(std::string_view text, const TableKind& kind) {
  for (const char delimiter : delimiters) {
    const auto csv = text::read_csv(text, delimiter, {});
    const auto near = [&](const auto& row) { return kind.is_near(columns_of(row, kind)); };
    if (std::ranges::any_of(csv.rows, near)) return delimiter;
  }
  return text::guess_delimiter(first_table_line(text));
}

}  // namespace

bool is_remark(const text::CsvRow& row) {
  const auto first = text::trim(row.front().text);
  return first.size() > 1 && first.starts_with('#');
}

bool is_total(const text::CsvRow& row) {
  return std::ranges::any_of(row, [](const auto& cell) { return says_total(text::trim(cell.text)); });
}

bool is_blank(const text::CsvRow& row) {
  return std::ranges::all_of(row, [](const auto& cell) { return text::trim(cell.text).empty(); });
}

Position Sheet::name_position(const text::CsvRow& row) const {
  for (const auto role : {Role::inci, Role::ingredient, Role::trade_name}) {
    if (!cell_of(row, columns.position(role)).empty()) return columns.position(role);
  }
  return {};
}

text::DecimalMarks Sheet::decimal_marks_in(std::initializer_list<Role> roles) const {
  text::DecimalMarks marks;
  for (const auto role : roles) {
    for (const auto& row : rows_below_header()) {
      const auto seen = text::decimal_marks_of(cell_of(row, columns.position(role)));
      marks.point = marks.point || seen.point;
      marks.comma = marks.comma || seen.comma;
    }
  }
  return marks;
}

std::optional<Sheet> find_sheet(std::string_view text, const TableKind& kind, Findings& findings) {
  std::optional<Sheet> best;
  std::vector<Problem> problems;
  for (const char delimiter : delimiters) {
    auto csv = text::read_csv(text, delimiter, findings.file);
    auto sheet = sheet_of(csv, delimiter, kind);
    if (!sheet || (best && sheet->columns.known() <= best->columns.known())) continue;
    best = std::move(sheet);
    problems = std::move(csv.problems);
  }
  if (!best) {
    auto csv = text::read_csv(text, likely_delimiter(text, kind), findings.file);
    problems = std::move(csv.problems);
    if (problems.empty()) say_missing(csv.rows, kind, findings);
  }
  findings.problems.insert(findings.problems.end(), problems.begin(), problems.end());
  return best;
}

std::optional<Property> property_of(const text::CsvRow& row, char delimiter) {
  std::string line;
  for (const auto& one : row) line += (line.empty() ? "" : std::string(1, delimiter)) + one.text;
  const auto colon = line.find(':');
  if (colon == std::string::npos) return {};
  const auto ends = std::string(" \t") + delimiter;
  auto value = line.substr(colon + 1);
  value.erase(0, value.find_first_not_of(ends));
  value.erase(value.find_last_not_of(ends) + 1);
  return Property{line.substr(0, colon), std::move(value)};
}

std::string cell_of(const text::CsvRow& row, Position position) {
  if (!position || *position >= row.size()) return {};
  return std::string(text::trim(row[*position].text));
}

Place place_of(const std::string& file, const text::CsvRow& row, Position position) {
  const auto line = position && *position < row.size() ? row[*position].line : row[0].line;
  return {file, line, position ? *position + 1 : 0};
}

void say_of_column(const Sheet& sheet, std::size_t position, const std::string& what,
                   Findings& findings) {
  const auto& row = sheet.rows[sheet.header];
  findings.say(place_of(findings.file, row, position),
               fmt::format("the column '{}' {}", cell_of(row, position), what));
}

void check_width(const Sheet& sheet, const text::CsvRow& row, Findings& findings) {
  const auto width = sheet.columns.cells.size();
  for (std::size_t i = width; i < row.size(); ++i) {
    if (is_nothing(row[i].text)) continue;
    findings.problem(
        place_of(findings.file, row, i),
        std::to_string(row.size()) + " cells below a header of " + std::to_string(width),
        sheet.delimiter == ','
            ? "as many cells as the header; numbers with a decimal comma in quotes"
            : "as many cells as the header");
    return;
  }
}

std::optional<double> strength_in(const text::CsvRow& row, Position position,
                                  text::DecimalMarks marks, Findings& findings) {
  const auto text = cell_of(row, position);
  if (is_nothing(text)) return {};
  const auto strength = read_share_percent(text, marks);
  if (!strength) {
    findings.problem(place_of(findings.file, row, position), fmt::format("'{}' as strength", text),
                     "a number above 0 and at most 100 %");
  }
  return strength;
}

}  // namespace counterion::formula
