// SPDX-License-Identifier: MIT
#include "columns.hpp"
#include "content.hpp"
#include "overlay.hpp"

#include <algorithm>
#include <array>
#include <tuple>

namespace counterion::tables {
namespace {

constexpr std::array<std::string_view, 13> table_names{
    "cautions", "changes", "classes", "composition", "constants",  "ingredients", "levels",
    "mishaps",  "names",   "ranges",  "sources",     "substances", "titrations"};

void check_names(std::span<const Tables::NamedText> texts, std::vector<Problem>& problems) {
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const auto& name = texts[i].name;
    if (std::ranges::find(table_names, name) == table_names.end()) {
      add_problem(problems, {texts[i].file}, "no table is called '" + name + "'",
                  fmt::format("one of {}", fmt::join(table_names, ", ")));
    }
    const auto before = texts.first(i);
    if (std::ranges::find(before, name, &Tables::NamedText::name) != before.end())
      add_problem(problems, {texts[i].file}, "a second table '" + name + "'", "each table once");
  }
}

/// A set that stands alone has every table, be it empty.
void check_complete(std::span<const Tables::NamedText> texts, std::vector<Problem>& problems) {
  for (const auto name : table_names)
    if (std::ranges::find(texts, name, &Tables::NamedText::name) == texts.end())
      add_problem(problems, {}, fmt::format("no table {}", name), fmt::format("{}.csv", name));
}

/// What reading one set of tables needs.
struct Reading {
  std::span<const Tables::NamedText> texts;
  Origin origin;
  TextStore& store;
  std::vector<Problem> problems;
};

template <class Row>
void read_into(TableText<Row>& table, std::string_view name, Reading& reading,
               const std::vector<Column<Row>>& columns) {
  table.name = name;
  const auto text = std::ranges::find(reading.texts, name, &Tables::NamedText::name);
  if (text != reading.texts.end())
    table = bind_table(*text, columns, reading.origin, reading.store, reading.problems);
}

TableTexts read_texts(Reading& reading) {
  check_names(reading.texts, reading.problems);
  TableTexts all;
  read_into(all.sources, "sources", reading, source_columns());
  read_into(all.ingredients, "ingredients", reading, ingredient_columns());
  read_into(all.names, "names", reading, name_columns());
  read_into(all.classes, "classes", reading, class_columns());
  read_into(all.substances, "substances", reading, substance_columns());
  read_into(all.constants, "constants", reading, constant_columns());
  read_into(all.composition, "composition", reading, composition_columns());
  read_into(all.ranges, "ranges", reading, range_columns());
  read_into(all.levels, "levels", reading, level_columns());
  read_into(all.cautions, "cautions", reading, caution_columns());
  read_into(all.changes, "changes", reading, change_columns());
  read_into(all.mishaps, "mishaps", reading, mishap_columns());
  read_into(all.titrations, "titrations", reading, titration_columns());
  return all;
}

// ---- taking the rows ----

template <class Row, class... Keys>
std::vector<Row> sorted(TableText<Row>& table, Keys... keys) {
  std::ranges::stable_sort(table.rows, {},
                           [=](const Row& row) { return std::tuple(row.*keys...); });
  return std::move(table.rows);
}

Rows take_rows(TableTexts& all) {
  Rows rows;
  rows.classes_by_ingredient = all.classes.rows;
  std::ranges::stable_sort(rows.classes_by_ingredient, {}, [](const ClassMember& row) {
    return std::pair(row.ingredient, row.class_name);
  });
  rows.sources = sorted(all.sources, &Source::key);
  rows.ingredients = sorted(all.ingredients, &Ingredient::id);
  rows.names = std::move(all.names.rows);
  rows.classes = sorted(all.classes, &ClassMember::class_name, &ClassMember::ingredient);
  rows.substances = sorted(all.substances, &Substance::id);
  rows.constants = sorted(all.constants, &Constant::substance);
  rows.composition = sorted(all.composition, &Component::ingredient);
  rows.ranges = sorted(all.ranges, &Range::subject);
  rows.levels = sorted(all.levels, &Level::subject);
  rows.cautions = sorted(all.cautions, &Caution::id);
  rows.changes = sorted(all.changes, &Change::reactant);
  rows.mishaps = sorted(all.mishaps, &Mishap::id);
  rows.titrations = sorted(all.titrations, &Titration::ingredient, &Titration::added_meq_per_g);
  return rows;
}

Rows checked_rows(TableTexts& all, Reading& reading) {
  name_rows(all, reading.store, reading.problems);
  check_rows(all, reading.origin, reading.problems);
  if (!reading.problems.empty()) throw BadInput(std::move(reading.problems));
  auto rows = take_rows(all);
  index_names(rows, reading.store);
  return rows;
}

}  // namespace

Rows read_rows(std::span<const Tables::NamedText> texts, TextStore& store) {
  Reading reading{texts, Origin::reference, store, {}};
  check_complete(texts, reading.problems);
  auto all = read_texts(reading);
  return checked_rows(all, reading);
}

Rows read_rows_over(const Rows& beneath, std::span<const Tables::NamedText> texts,
                    TextStore& store) {
  Reading reading{texts, Origin::own_folder, store, {}};
  auto all = read_texts(reading);
  // Faults of single cells first: what they break would be told a second time by the whole.
  if (!reading.problems.empty()) throw BadInput(std::move(reading.problems));
  lay_over(all, beneath, reading.problems);
  return checked_rows(all, reading);
}

}  // namespace counterion::tables
