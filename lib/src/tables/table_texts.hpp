// SPDX-License-Identifier: MIT
// All tables as read from their texts, before they are sorted; every row still knows its line.
#pragma once

#include "binder.hpp"

#include <counterion/tables/rows.hpp>

namespace counterion::tables {

struct TableTexts {
  TableText<Source> sources;
  TableText<Ingredient> ingredients;
  TableText<Name> names;
  TableText<ClassMember> classes;
  TableText<Substance> substances;
  TableText<Constant> constants;
  TableText<Component> composition;
  TableText<Range> ranges;
  TableText<Level> levels;
  TableText<Caution> cautions;
  TableText<Change> changes;
  TableText<Mishap> mishaps;
  TableText<Titration> titrations;
};

/// Gives every row its id, "ranges/urea/stability/…", and says which ids stand twice.
void name_rows(TableTexts& tables, TextStore& store, std::vector<Problem>& problems);

/// Says which rows of the table constants do not fit their quantity.
void check_constants(const TableTexts& tables, std::vector<Problem>& problems);

/// Says which rows of the table changes a forecast could not compute with.
void check_changes(const TableTexts& tables, std::vector<Problem>& problems);

/// Says which numbers and words no row of their kind can have: units, markets, products, spans.
void check_values(const TableTexts& tables, std::vector<Problem>& problems);

/// Says what one row alone, or rows of several tables together, have wrong.
void check_rows(const TableTexts& tables, Origin origin, std::vector<Problem>& problems);

}  // namespace counterion::tables
