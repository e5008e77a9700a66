// SPDX-License-Identifier: MIT
#include "columns.hpp"
#include "content.hpp"
#include "table_texts.hpp"

#include <algorithm>
#include <array>

namespace counterion::tables {
namespace {

constexpr std::array<std::string_view, 12> table_names{
    "cautions", "changes", "classes", "composition", "constants", "ingredients",
    "levels",   "mishaps", "names",   "ranges",      "sources",   "substances"};

void check_names(std::span<const Tables::NamedText> texts, std::vector<Problem>& problems) {
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const auto& name = texts[i].name;
    if (std::ranges::find(table_names, name) == table_names.end()) {
      add_problem(problems, {texts[i].file}, "no table is called '" + name + "'",
                  "one of the reference tables");
    }
    const auto same = std::ranges::find(texts.first(i), name, &Tables::NamedText::name);
    if (same != texts.begin() + static_cast<std::ptrdiff_t>(i)) {
      add_problem(problems, {texts[i].file}, "a second table '" + name + "'", "each table once");
    }
  }
}

template <class Row>
void read_into(TableText<Row>& table, std::string_view name,
               std::span<const Tables::NamedText> texts, const std::vector<Column<Row>>& columns,
               std::vector<Problem>& problems) {
  table.name = name;
  const auto text = std::ranges::find(texts, name, &Tables::NamedText::name);
  if (text != texts.end()) table = bind_table(*text, columns, problems);
}

TableTexts read_texts(std::span<const Tables::NamedText> texts, std::vector<Problem>& problems) {
  TableTexts all;
  read_into(all.sources, "sources", texts, source_columns(), problems);
  read_into(all.ingredients, "ingredients", texts, ingredient_columns(), problems);
  read_into(all.names, "names", texts, name_columns(), problems);
  read_into(all.classes, "classes", texts, class_columns(), problems);
  read_into(all.substances, "substances", texts, substance_columns(), problems);
  read_into(all.constants, "constants", texts, constant_columns(), problems);
  read_into(all.composition, "composition", texts, composition_columns(), problems);
  read_into(all.ranges, "ranges", texts, range_columns(), problems);
  read_into(all.levels, "levels", texts, level_columns(), problems);
  read_into(all.cautions, "cautions", texts, caution_columns(), problems);
  read_into(all.changes, "changes", texts, change_columns(), problems);
  read_into(all.mishaps, "mishaps", texts, mishap_columns(), problems);
  return all;
}

template <class Row>
std::vector<Row> sorted(TableText<Row>& table, std::string Row::*subject) {
  std::ranges::stable_sort(table.rows, {}, subject);
  return std::move(table.rows);
}

Rows take_rows(TableTexts& all) {
  return {sorted(all.sources, &Source::key),
          sorted(all.ingredients, &Ingredient::id),
          std::move(all.names.rows),
          sorted(all.classes, &ClassMember::class_name),
          sorted(all.substances, &Substance::id),
          sorted(all.constants, &Constant::substance),
          sorted(all.composition, &Component::ingredient),
          sorted(all.ranges, &Range::subject),
          sorted(all.levels, &Level::subject),
          sorted(all.cautions, &Caution::id),
          sorted(all.changes, &Change::reactant),
          sorted(all.mishaps, &Mishap::id)};
}

}  // namespace

Rows read_rows(std::span<const Tables::NamedText> texts) {
  std::vector<Problem> problems;
  check_names(texts, problems);
  auto all = read_texts(texts, problems);
  name_rows(all, problems);
  check_rows(all, problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
  return take_rows(all);
}

}  // namespace counterion::tables
