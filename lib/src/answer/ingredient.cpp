// SPDX-License-Identifier: MIT
#include <counterion/answer/ingredient.hpp>

#include <fmt/format.h>

namespace counterion {
namespace {

Formula solution_of(const tables::Ingredient& ingredient, double percent) {
  Formula formula;
  formula.items.resize(2);
  formula.items[0].ingredient = ingredient.id;
  formula.items[0].percent = percent;
  formula.items[1].ingredient = "water";
  formula.items[1].percent = 100 - percent;
  formula.total_percent = 100;
  return formula;
}

void add_solution(double percent, IngredientFacts& facts) {
  const auto phase = water_phase_of(solution_of(facts.ingredient, percent), facts.tables);
  if (!phase) return;
  const auto prediction = predict(*phase, 0);
  facts.solutions.push_back(
      {percent, prediction.ph, prediction.p05, prediction.p95, !prediction.saturated.empty()});
}

const tables::Ingredient& the_one(std::string_view name, const Tables& tables) {
  const auto meant = tables.meanings(name);
  if (meant.empty()) throw UnknownIngredient(std::string(name), tables.nearest_names(name));
  if (meant.size() == 1) return *meant.front();
  std::vector<std::string> names;
  for (const auto* ingredient : meant) names.push_back(tables.display_name(ingredient->id));
  throw BadInput({{{}, fmt::format("'{}' may be several materials", name), "one of them", names}});
}

}  // namespace

IngredientFacts facts_of(std::string_view name, const Tables& tables) {
  const auto& ingredient = the_one(name, tables);
  IngredientFacts facts(ingredient, tables, material_of(ingredient.id, tables));
  if (ingredient.phase == tables::Phase::oil) return facts;
  for (const double percent : {1.0, 10.0}) add_solution(percent, facts);
  return facts;
}

}  // namespace counterion
