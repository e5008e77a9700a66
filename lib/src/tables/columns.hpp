// SPDX-License-Identifier: MIT
// The columns of every reference table.
#pragma once

#include "binder.hpp"

#include <counterion/tables/rows.hpp>

namespace counterion::tables {

std::vector<Column<Source>> source_columns();
std::vector<Column<Ingredient>> ingredient_columns();
std::vector<Column<Name>> name_columns();
std::vector<Column<ClassMember>> class_columns();
std::vector<Column<Substance>> substance_columns();
std::vector<Column<Constant>> constant_columns();
std::vector<Column<Component>> composition_columns();
std::vector<Column<Range>> range_columns();
std::vector<Column<Level>> level_columns();
std::vector<Column<Caution>> caution_columns();
std::vector<Column<Change>> change_columns();
std::vector<Column<Mishap>> mishap_columns();
std::vector<Column<Titration>> titration_columns();

}  // namespace counterion::tables
