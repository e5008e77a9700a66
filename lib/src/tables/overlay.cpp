// SPDX-License-Identifier: MIT
#include "overlay.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <tuple>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;
using Ids = std::set<std::string_view>;

/// A table without its rows.
template <class Row>
TableText<Row> emptied(const TableText<Row>& table) {
  return {table.name, table.file, {}, {}, table.columns};
}

template <class Row>
void add_row(TableText<Row>& table, const Row& row, std::size_t line) {
  table.rows.push_back(row);
  table.lines.push_back(line);
}

/// Keeps rows of the user, and of the others those that `keep` says.
template <class Row, class Keep>
void keep_beneath(TableText<Row>& table, Keep keep) {
  auto left = emptied(table);
  for (std::size_t i = 0; i < table.rows.size(); ++i)
    if (table.lines[i] != 0 || keep(table.rows[i])) add_row(left, table.rows[i], table.lines[i]);
  table = std::move(left);
}

// ---- what replaces what ----

/// Puts under the rows of `table` those of `beneath` whose fact it does not state itself.
template <class Row, class Fact>
void lay_table_over(TableText<Row>& table, const std::vector<Row>& beneath, Fact fact_of,
                    Problems& problems) {
  std::set<decltype(fact_of(beneath[0]))> stated, known;
  for (const auto& row : table.rows) stated.insert(fact_of(row));
  auto whole = emptied(table);
  for (const auto& row : beneath) {
    known.insert(fact_of(row));
    if (!stated.contains(fact_of(row))) add_row(whole, row, 0);
  }
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (!takes_away(table.rows[i])) {
      add_row(whole, table.rows[i], table.lines[i]);
    } else if (!known.contains(fact_of(table.rows[i]))) {
      add_problem(problems, {table.file, table.lines[i], 0}, "nothing that could be withdrawn",
                  "the key of rows in the table " + table.name + " beneath");
    }
  }
  table = std::move(whole);
}

void lay_tables_over(TableTexts& all, const Rows& beneath, Problems& problems) {
  const auto lay = [&](auto& table, const auto& rows, auto fact_of) {
    lay_table_over(table, rows, fact_of, problems);
  };
  lay(all.sources, beneath.sources, [](const Source& row) { return row.key; });
  lay(all.ingredients, beneath.ingredients, [](const Ingredient& row) { return row.id; });
  lay(all.names, beneath.names, [](const Name& row) { return text::normalise(row.name); });
  lay(all.classes, beneath.classes,
      [](const ClassMember& row) { return std::pair(row.class_name, row.ingredient); });
  lay(all.substances, beneath.substances, [](const Substance& row) { return row.id; });
  lay(all.constants, beneath.constants,
      [](const Constant& row) { return std::pair(row.substance, row.quantity); });
  lay(all.composition, beneath.composition, [](const Component& row) { return row.ingredient; });
  lay(all.ranges, beneath.ranges,
      [](const Range& row) { return std::pair(row.subject, row.kind); });
  lay(all.levels, beneath.levels,
      [](const Level& row) { return std::tuple(row.subject, row.kind, row.market); });
  lay(all.cautions, beneath.cautions, [](const Caution& row) { return row.id; });
  lay(all.changes, beneath.changes, [](const Change& row) { return row.id; });
  lay(all.mishaps, beneath.mishaps, [](const Mishap& row) { return row.id; });
  lay(all.titrations, beneath.titrations, [](const Titration& row) { return row.ingredient; });
}

// ---- what a withdrawn ingredient takes along ----

Ids withdrawn_ingredients(const TableText<Ingredient>& table, Problems& problems) {
  Ids ids;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (!takes_away(table.rows[i])) continue;
    if (table.rows[i].id == "water")
      add_problem(problems, table.place(i, "id"), "water withdrawn",
                  "an ingredient that can be spared");
    ids.insert(table.rows[i].id);
  }
  return ids;
}

/// Names that have lost their usual meaning usually mean the next.
void promote_names(TableText<Name>& table) {
  std::set<std::string> settled;
  for (const auto& row : table.rows)
    if (row.rank == 1) settled.insert(text::normalise(row.name));
  for (std::size_t i = 0; i < table.rows.size(); ++i)
    if (table.lines[i] == 0 && settled.insert(text::normalise(table.rows[i].name)).second)
      table.rows[i].rank = 1;
}

/// What can be the subject of a range, a level or a caution.
Ids subjects_of(const TableTexts& all) {
  Ids subjects{"", "default", "unlisted", "air", "batch", "formula", "measurement"};
  for (const auto& row : all.ingredients.rows) subjects.insert(row.id);
  for (const auto& row : all.classes.rows) subjects.insert(row.class_name);
  return subjects;
}

void drop_rows_of(TableTexts& all, const Ids& gone) {
  if (gone.empty()) return;
  const auto stays = [&](std::string_view id) { return !gone.contains(id); };
  keep_beneath(all.names, [&](const Name& row) { return stays(row.ingredient); });
  keep_beneath(all.classes, [&](const ClassMember& row) { return stays(row.ingredient); });
  keep_beneath(all.composition, [&](const Component& row) { return stays(row.ingredient); });
  keep_beneath(all.changes, [&](const Change& row) { return stays(row.reactant); });
  keep_beneath(all.titrations, [&](const Titration& row) { return stays(row.ingredient); });
  promote_names(all.names);
  const auto subjects = subjects_of(all);
  const auto known = [&](std::string_view subject) {
    return subjects.contains(subject) || subject.starts_with("product:");
  };
  keep_beneath(all.ranges, [&](const Range& row) { return known(row.subject); });
  keep_beneath(all.levels, [&](const Level& row) { return known(row.subject); });
  keep_beneath(all.cautions, [&](const Caution& row) { return known(row.a) && known(row.b); });
}

// ---- a lot that is like another material ----

/// Gives `own` the rows of `other` that `missing` says it lacks, under its own id.
template <class Row, class Missing>
void copy_rows(TableText<Row>& table, std::string_view Row::*subject, std::string_view own,
               std::string_view other, Missing missing) {
  const auto rows = table.rows;
  for (auto row : rows) {
    if (row.*subject != other || !missing(rows, row)) continue;
    row.*subject = own;
    add_row(table, row, 0);
  }
}

void copy_all_rows(TableTexts& all, std::string_view own, std::string_view other) {
  copy_rows(all.classes, &ClassMember::ingredient, own, other,
            [&](const auto& rows, const auto& row) {
              return std::ranges::none_of(rows, [&](const ClassMember& known) {
                return known.ingredient == own && known.class_name == row.class_name;
              });
            });
  copy_rows(all.composition, &Component::ingredient, own, other,
            [&](const auto& rows, const auto&) {
              return std::ranges::find(rows, own, &Component::ingredient) == rows.end();
            });
  copy_rows(all.ranges, &Range::subject, own, other, [&](const auto& rows, const auto& row) {
    return std::ranges::none_of(
        rows, [&](const Range& known) { return known.subject == own && known.kind == row.kind; });
  });
  copy_rows(all.levels, &Level::subject, own, other, [&](const auto& rows, const auto& row) {
    return std::ranges::none_of(rows, [&](const Level& known) {
      return known.subject == own && known.kind == row.kind && known.market == row.market;
    });
  });
}

void copy_likenesses(TableTexts& all, Problems& problems) {
  Ids ids;
  for (const auto& row : all.ingredients.rows) ids.insert(row.id);
  for (std::size_t i = 0; i < all.ingredients.rows.size(); ++i) {
    const auto& row = all.ingredients.rows[i];
    if (row.like.empty()) continue;
    if (ids.contains(row.like) && row.like != row.id)
      copy_all_rows(all, row.id, row.like);
    else
      add_problem(problems, all.ingredients.place(i, "like"), fmt::format("'{}'", row.like),
                  "the id of another ingredient");
  }
}

/// What rows that say no source rest on.
void add_own_source(TableText<Source>& table) {
  constexpr Source own{"own", "own",
                       "Certificates, measurements and habits of the user's own folder", ""};
  if (std::ranges::find(table.rows, own.key, &Source::key) == table.rows.end())
    add_row(table, own, 0);
}

}  // namespace

void lay_over(TableTexts& all, const Rows& beneath, Problems& problems) {
  const auto gone = withdrawn_ingredients(all.ingredients, problems);
  lay_tables_over(all, beneath, problems);
  drop_rows_of(all, gone);
  copy_likenesses(all, problems);
  add_own_source(all.sources);
}

}  // namespace counterion::tables
