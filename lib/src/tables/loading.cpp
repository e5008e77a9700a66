// SPDX-License-Identifier: MIT
#include "columns.hpp"
#include "content.hpp"
#include "table_texts.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <array>
#include <set>
#include <tuple>

namespace counterion::tables {
namespace {

constexpr std::array<std::string_view, 13> table_names{
    "cautions", "changes", "classes", "composition", "constants", "ingredients",
    "levels",   "mishaps", "names",   "ranges",      "sources",   "substances",
    "titrations"};

void check_names(std::span<const Tables::NamedText> texts, std::vector<Problem>& problems) {
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const auto& name = texts[i].name;
    if (std::ranges::find(table_names, name) == table_names.end()) {
      add_problem(problems, {texts[i].file}, "no table is called '" + name + "'",
                  fmt::format("one of {}", fmt::join(table_names, ", ")));
    }
    const auto same = std::ranges::find(texts.first(i), name, &Tables::NamedText::name);
    if (same != texts.begin() + static_cast<std::ptrdiff_t>(i)) {
      add_problem(problems, {texts[i].file}, "a second table '" + name + "'", "each table once");
    }
  }
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

// ---- laying one set over another ----

/// Puts under the rows of `table` those of `beneath` whose fact it does not state itself.
template <class Row, class Fact>
void lay_over(TableText<Row>& table, const std::vector<Row>& beneath, Fact fact_of) {
  std::set<decltype(fact_of(beneath[0]))> stated;
  for (const auto& row : table.rows) stated.insert(fact_of(row));
  TableText<Row> whole{table.name, table.file, {}, {}, table.columns};
  for (const auto& row : beneath) {
    if (stated.contains(fact_of(row))) continue;
    whole.rows.push_back(row);
    whole.lines.push_back(0);
  }
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (takes_away(table.rows[i])) continue;
    whole.rows.push_back(table.rows[i]);
    whole.lines.push_back(table.lines[i]);
  }
  table = std::move(whole);
}

using Ids = std::set<std::string_view>;

Ids withdrawn_ingredients(const TableText<Ingredient>& table) {
  Ids ids;
  for (const auto& row : table.rows)
    if (takes_away(row)) ids.insert(row.id);
  return ids;
}

/// Takes away rows beneath that speak of an ingredient that is no longer there.
template <class Row>
void drop_rows_of(TableText<Row>& table, const Ids& gone, std::string_view Row::*subject) {
  TableText<Row> left{table.name, table.file, {}, {}, table.columns};
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (table.lines[i] == 0 && gone.contains(table.rows[i].*subject)) continue;
    left.rows.push_back(table.rows[i]);
    left.lines.push_back(table.lines[i]);
  }
  table = std::move(left);
}

void drop_all_rows_of(TableTexts& all, const Ids& gone) {
  if (gone.empty()) return;
  drop_rows_of(all.names, gone, &Name::ingredient);
  drop_rows_of(all.classes, gone, &ClassMember::ingredient);
  drop_rows_of(all.composition, gone, &Component::ingredient);
  drop_rows_of(all.ranges, gone, &Range::subject);
  drop_rows_of(all.levels, gone, &Level::subject);
  drop_rows_of(all.cautions, gone, &Caution::a);
  drop_rows_of(all.cautions, gone, &Caution::b);
  drop_rows_of(all.changes, gone, &Change::reactant);
  drop_rows_of(all.titrations, gone, &Titration::ingredient);
}

/// What rows that say no source rest on.
void add_own_source(TableText<Source>& table) {
  constexpr Source own{"own", "own", "Certificates, measurements and habits of the user's own folder", ""};
  if (std::ranges::find(table.rows, own.key, &Source::key) != table.rows.end()) return;
  table.rows.push_back(own);
  table.lines.push_back(0);
}

void lay_all_over(TableTexts& all, const Rows& beneath) {
  const auto gone = withdrawn_ingredients(all.ingredients);
  lay_over(all.sources, beneath.sources, [](const Source& row) { return row.key; });
  lay_over(all.ingredients, beneath.ingredients, [](const Ingredient& row) { return row.id; });
  lay_over(all.names, beneath.names, [](const Name& row) { return text::normalise(row.name); });
  lay_over(all.classes, beneath.classes,
           [](const ClassMember& row) { return std::pair(row.class_name, row.ingredient); });
  lay_over(all.substances, beneath.substances, [](const Substance& row) { return row.id; });
  lay_over(all.constants, beneath.constants, [](const Constant& row) {
    return std::pair(row.substance, row.quantity);
  });
  lay_over(all.composition, beneath.composition,
           [](const Component& row) { return row.ingredient; });
  lay_over(all.ranges, beneath.ranges,
           [](const Range& row) { return std::pair(row.subject, row.kind); });
  lay_over(all.levels, beneath.levels,
           [](const Level& row) { return std::pair(row.subject, row.kind); });
  lay_over(all.cautions, beneath.cautions, [](const Caution& row) { return row.id; });
  lay_over(all.changes, beneath.changes, [](const Change& row) { return row.id; });
  lay_over(all.mishaps, beneath.mishaps, [](const Mishap& row) { return row.id; });
  lay_over(all.titrations, beneath.titrations, [](const Titration& row) { return row.ingredient; });
  drop_all_rows_of(all, gone);
  add_own_source(all.sources);
}

// ---- taking the rows ----

template <class Row, class... Keys>
std::vector<Row> sorted(TableText<Row>& table, Keys... keys) {
  std::ranges::stable_sort(table.rows, {}, [=](const Row& row) { return std::tuple(row.*keys...); });
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
  auto all = read_texts(reading);
  return checked_rows(all, reading);
}

Rows read_rows_over(const Rows& beneath, std::span<const Tables::NamedText> texts,
                    TextStore& store) {
  Reading reading{texts, Origin::own_folder, store, {}};
  auto all = read_texts(reading);
  // Faults of single cells first: what they break would be told a second time by the whole.
  if (!reading.problems.empty()) throw BadInput(std::move(reading.problems));
  lay_all_over(all, beneath);
  return checked_rows(all, reading);
}

}  // namespace counterion::tables
