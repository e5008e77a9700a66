// SPDX-License-Identifier: MIT
// From CSV text to rows of a struct: a table is a list of columns, each with its setter.
#pragma once

#include "text_store.hpp"

#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace counterion::tables {

/// Where a value must stand: everywhere, or in the reference tables but not in a user's own folder;
/// `own_only` columns are known there alone.
enum class Need { none, in_reference, always, own_only };

/// Whose tables are read.
enum class Origin { reference, own_folder };

/// What stands in the column source (of the table sources: kind) of a row that takes others away.
inline constexpr std::string_view withdrawn = "withdrawn";

/// Takes one cell into the row; returns what was expected instead when the text does not do.
template <class Row>
using Setter = std::function<std::string(Row&, std::string_view)>;

/// A column of a table.
template <class Row>
struct Column {
  std::string name;
  Need need = Need::none;
  Setter<Row> set;
};

/// The rows of one table as read, each with the line it came from; 0 is a row of the tables
/// beneath.
template <class Row>
struct TableText {
  std::string name;
  std::string file;
  std::vector<Row> rows;
  std::vector<std::size_t> lines;
  std::map<std::string, std::size_t, std::less<>> columns;

  Place place(std::size_t row, std::string_view column) const {
    if (lines[row] == 0) return {"table " + name + " beneath", 0, 0};
    const auto at = columns.find(column);
    return {file, lines[row], at == columns.end() ? 0 : at->second};
  }
};

/// The cells of a table, header apart, each row as long as the header; views of a TextStore.
struct Grid {
  std::vector<std::string_view> header;
  std::vector<std::vector<std::string_view>> rows;
  std::vector<std::size_t> lines;
};

Grid read_grid(const Tables::NamedText& text, Origin origin, TextStore& store,
               std::vector<Problem>& problems);

/// A column as the header is compared with it.
struct WantedColumn {
  std::string_view name;
  Need need;
};

/// Says which columns the header lacks and which nobody knows.
void check_header(const Grid& grid, const std::vector<WantedColumn>& wanted, Origin origin,
                  const Tables::NamedText& text, std::vector<Problem>& problems);

std::optional<double> read_cell_number(std::string_view text);

template <class Row, class Member>
Column<Row> text_column(std::string name, Member member, Need need = Need::none) {
  return {std::move(name), need, [member](Row& row, std::string_view text) {
            std::invoke(member, row) = text;
            return std::string();
          }};
}

/// A number that must stand there.
template <class Row, class Member>
Column<Row> number_column(std::string name, Member member, Need need = Need::always) {
  return {std::move(name), need, [member](Row& row, std::string_view text) {
            const auto value = read_cell_number(text);
            if (!value) return std::string("a number");
            std::invoke(member, row) = *value;
            return std::string();
          }};
}

/// A number, or an empty cell, which leaves the member as it is.
template <class Row, class Member>
Column<Row> optional_number_column(std::string name, Member member) {
  return number_column<Row>(std::move(name), member, Need::none);
}

template <class Row>
Column<Row> integer_column(std::string name, int Row::*member, Need need) {
  return {std::move(name), need, [member](Row& row, std::string_view text) {
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
                        std::vector<std::pair<std::string, Value>> words,
                        Need need = Need::always) {
  return {std::move(name), need,
          [member, words = std::move(words)](Row& row, std::string_view text) {
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
Column<Row> list_column(std::string name, std::string_view Row::*member) {
  return {std::move(name), Need::none, [member](Row& row, std::string_view text) {
            row.*member = text;
            const bool gap = text.starts_with(';') || text.ends_with(';') ||
                             text.find(";;") != std::string_view::npos;
            return std::string(gap ? "words separated by ';'" : "");
          }};
}

/// Whether a cell of this need may not stay empty.
constexpr bool must_stand(Need need, Origin origin) noexcept {
  return need == Need::always || (need == Need::in_reference && origin == Origin::reference);
}

template <class Row>
void set_cell(const Column<Row>& column, std::string_view text, bool must, Row& row,
              const Place& place, std::vector<Problem>& problems) {
  if (text.empty()) {
    if (must) add_problem(problems, place, "an empty cell", "a value in " + column.name);
    return;
  }
  const auto expected = column.set(row, text);
  if (!expected.empty())
    add_problem(problems, place, fmt::format("'{}' in {}", text, column.name), expected);
}

template <class Row>
std::vector<WantedColumn> wanted_of(const std::vector<Column<Row>>& columns) {
  std::vector<WantedColumn> wanted;
  for (const auto& column : columns) wanted.push_back({column.name, column.need});
  return wanted;
}

/// Whether a row only takes others away.
template <class Row>
bool takes_away(const Row& row) {
  if constexpr (requires { row.provenance; })
    return row.provenance.source == withdrawn;
  else if constexpr (requires { row.citation; })
    return row.kind == withdrawn;
  else
    return row.source == withdrawn;
}

/// What a row of a user's own folder says where its cells are empty.
template <class Row>
Row own_row() {
  constexpr std::string_view own = "own";
  Row row;
  if constexpr (requires { row.provenance; }) {
    row.provenance.source = own;
    row.provenance.reliability = Reliability::own;
  } else if constexpr (requires { row.source; }) {
    row.source = own;
  }
  return row;
}

template <class Row>
void set_column(TableText<Row>& table, const Column<Row>& column, std::size_t at, const Grid& grid,
                Origin origin, std::vector<Problem>& problems) {
  for (std::size_t i = 0; i < grid.rows.size(); ++i) {
    const bool must = must_stand(column.need, origin) && !takes_away(table.rows[i]);
    set_cell(column, grid.rows[i][at], must, table.rows[i], table.place(i, column.name), problems);
  }
}

/// A column that is needed may be left out where every row only takes others away.
template <class Row>
void say_missing_columns(const TableText<Row>& table, const std::vector<Column<Row>>& columns,
                         Origin origin, std::vector<Problem>& problems) {
  const bool states =
      std::ranges::any_of(table.rows, [](const Row& row) { return !takes_away(row); });
  if (origin == Origin::reference || !states)
    return;  // the header's check has said it, or nobody needs it
  for (const auto& column : columns)
    if (column.need == Need::always && !table.columns.contains(column.name))
      add_problem(problems, {table.file, 1, 0}, "no column " + column.name,
                  "the column " + column.name);
}

/// Reads one table, collecting every fault of header and cells.
template <class Row>
TableText<Row> bind_table(const Tables::NamedText& text, const std::vector<Column<Row>>& columns,
                          Origin origin, TextStore& store, std::vector<Problem>& problems) {
  const auto grid = read_grid(text, origin, store, problems);
  check_header(grid, wanted_of(columns), origin, text, problems);
  TableText<Row> table{text.name, text.file, {}, grid.lines, {}};
  for (std::size_t i = 0; i < grid.header.size(); ++i) table.columns.emplace(grid.header[i], i + 1);
  table.rows.assign(grid.rows.size(), origin == Origin::reference ? Row() : own_row<Row>());
  const auto set = [&](const Column<Row>& column) {
    const auto at = table.columns.find(column.name);
    if (at != table.columns.end())
      set_column(table, column, at->second - 1, grid, origin, problems);
  };
  // Whether a row takes others away decides whether its other cells may be empty.
  const std::string_view deciding = text.name == "sources" ? "kind" : "source";
  for (const auto& column : columns)
    if (column.name == deciding) set(column);
  for (const auto& column : columns)
    if (column.name != deciding) set(column);
  say_missing_columns(table, columns, origin, problems);
  return table;
}

}  // namespace counterion::tables
