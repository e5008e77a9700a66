// SPDX-License-Identifier: MIT
// What is known of one ingredient, each number with its source and the id of its row.
#pragma once

#include <counterion/answer/ingredient.hpp>
#include <counterion/report/text.hpp>

namespace counterion {

/// The facts as text; ends with a newline.
std::string text_report(const IngredientFacts& facts, const TextStyle& style = {});

/// The facts as JSON: the rows of every table with the names of their columns, `indent` spaces a
/// level, -1 for one line.
std::string json_report(const IngredientFacts& facts, int indent = 2);

}  // namespace counterion
