// SPDX-License-Identifier: MIT
// From CSV text to rows of a struct: a table is a list of columns, each with its setter.
#pragma once

#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <fmt/format.h>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace counterion::tables {

/// Takes one cell into the row; returns what was expected instead when the text does not do.
template <class Row>
using Setter = std::function<std::string(Row&, const std::string&)>;

/// A column of a table.
template <class Row>
struct Column {
  std::string name;
  bool required = false;
  Setter<Row> set;
};

/// The rows of one table as read, each with the line it came from.
template <class Row>
struct TableText {
  std::string name;
  std::string file;
  std::vector<Row> rows;
  std::vector<std::size_t> lines;
  std::map<std::string, std::size_t, std::less<>> columns;

  Place place(std::size_t row, std::string_view column) const {
    const auto at = columns.find(column);
    return {file, lines[row], at == columns.end() ? 0 : at->second};
  }
};

/// The cells of a table, header apart, each row as long as the header.
struct Grid {
  std::vector<std::string> header;
  std::vector<std::vector<std::string>> rows;
  std::vector<std::size_t> lines;
};

Grid read_grid(const Tables::NamedText& text, std::vector<Problem>& problems);

/// Says which of `wanted` the header lacks and which columns nobody knows.
void check_header(const Grid& grid, const std::vector<std::string>& wanted,
                  const Tables::NamedText& text, std::vector<Problem>& problems);

std::optional<double> read_cell_number(const std::string& text);

template <class Row, class Member>
Column<Row> text_column(std::string name, Member member, bool required = false) {
  return {std::move(name), required, [member](Row& row, const std::string& text) {
            std::invoke(member, row) = text;
            return std::string();
          }};
}

/// A number that must stand there.
template <class Row, class Member>
Column<Row> number_column(std::string name, Member member) {
  return {std::move(name), true, [member](Row& row, const std::string& text) {
            const auto value = read_cell_number(text);
            if (!value) return std::string("a number");
            std::invoke(member, row) = *value;
            return std::string();
          }};
}

/// A number, or an empty cell, which leaves the member as it is.
template <class Row, class Member>
Column<Row> optional_number_column(std::string name, Member member) {
  auto column = number_column<Row>(std::move(name), member);
  column.required = false;
  return column;
}

template <class Row>
Column<Row> integer_column(std::string name, int Row::*member, bool required = true) {
  return {std::move(name), required, [member](Row& row, const std::string& text) {
            const auto value = read_cell_number(text);
            const bool whole = value && *value > -1e6 && *value < 1e6 &&
                               *value == static_cast<double>(static_cast<int>(*value));
            if (!whole) return std::string("a whole number");
            row.*member = static_cast<int>(*value);
            return std::string();
          }};
}

/// One of the words of an enumeration.
template <class Row, class Member, class Value>
Column<Row> word_column(std::string name, Member member,
                        std::vector<std::pair<std::string, Value>> words) {
  return {std::move(name), true,
          [member, words = std::move(words)](Row& row, const std::string& text) {
            std::string expected;
            for (const auto& [word, value] : words) {
              if (word == text) return std::invoke(member, row) = value, std::string();
              expected += (expected.empty() ? "" : " | ") + word;
            }
            return expected;
          }};
}

/// Words separated by `;`.
template <class Row>
Column<Row> list_column(std::string name, std::vector<std::string> Row::*member) {
  return {std::move(name), false, [member](Row& row, const std::string& text) {
            for (std::size_t begin = 0; begin <= text.size();) {
              const auto end = std::min(text.find(';', begin), text.size());
              if (end == begin) return std::string("words separated by ';'");
              (row.*member).push_back(text.substr(begin, end - begin));
              begin = end + 1;
            }
            return std::string();
          }};
}

template <class Row>
void set_cell(const Column<Row>& column, const std::string& text, Row& row, const Place& place,
              std::vector<Problem>& problems) {
  if (text.empty()) {
    if (column.required) add_problem(problems, place, "an empty cell", "a value in " + column.name);
    return;
  }
  const auto expected = column.set(row, text);
  if (!expected.empty()) {
    add_problem(problems, place, fmt::format("'{}' in {}", text, column.name), expected);
  }
}

template <class Row>
std::vector<std::string> names_of(const std::vector<Column<Row>>& columns) {
  std::vector<std::string> names;
  for (const auto& column : columns) names.push_back(column.name);
  return names;
}

/// Reads one table, collecting every fault of header and cells.
template <class Row>
TableText<Row> bind_table(const Tables::NamedText& text, const std::vector<Column<Row>>& columns,
                          std::vector<Problem>& problems) {
  const auto grid = read_grid(text, problems);
  check_header(grid, names_of(columns), text, problems);
  TableText<Row> table{text.name, text.file, {}, grid.lines, {}};
  for (std::size_t i = 0; i < grid.header.size(); ++i) table.columns[grid.header[i]] = i + 1;
  table.rows.resize(grid.rows.size());
  for (const auto& column : columns) {
    const auto at = table.columns.find(column.name);
    if (at == table.columns.end()) continue;
    for (std::size_t i = 0; i < grid.rows.size(); ++i) {
      set_cell(column, grid.rows[i][at->second - 1], table.rows[i], table.place(i, column.name),
               problems);
    }
  }
  return table;
}

}  // namespace counterion::tables
