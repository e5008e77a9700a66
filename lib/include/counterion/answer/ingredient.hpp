// SPDX-License-Identifier: MIT
// All that the tables and the equation know of one ingredient.
#pragma once

#include <counterion/batch/prediction.hpp>

#include <string_view>
#include <utility>
#include <vector>

namespace counterion {

/// The pH of an ingredient alone in pure water.
struct SolutionPH {
  double percent = 0;  ///< by mass, as supplied
  double ph = 0;
  double p05 = 0, p95 = 0;  ///< 90 % interval
  bool saturated = false;   ///< not all of it dissolves
};

/// What is known of an ingredient beyond its rows.
struct IngredientFacts {
  IngredientFacts(const tables::Ingredient& of, Tables looked_up_in, Material brings)
      : tables(std::move(looked_up_in)), ingredient(of), material(std::move(brings)) {}

  Tables tables;
  tables::Ingredient ingredient;
  Material material;                  ///< with the acidity or alkalinity that its declared pH means
  std::vector<SolutionPH> solutions;  ///< 1 % and 10 %; none for what does not dissolve in water
};

/// The facts of an ingredient by any name that means it alone. Throws UnknownIngredient, and
/// BadInput where the name may mean several.
IngredientFacts facts_of(std::string_view name, const Tables& tables = Tables::built_in());

}  // namespace counterion
