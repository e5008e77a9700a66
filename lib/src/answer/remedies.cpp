// SPDX-License-Identifier: MIT
#include <counterion/answer/remedies.hpp>

#include "remedy_search.hpp"

#include <algorithm>

namespace counterion {
namespace {

/// The line of water that makes up a formula.
FormulaItem* water_of(Formula& formula) {
  FormulaItem* most = nullptr;
  for (auto& item : formula.items)
    if (item.ingredient == "water" && (!most || item.percent > most->percent)) most = &item;
  return most;
}

void scale(const Change& change, Formula& formula) {
  for (const std::size_t i : change.items) formula.items[i].percent *= change.percent_after / change.percent_before;
}

/// The first line becomes the new material, the others go.
void replace(const Change& change, Formula& formula) {
  for (const std::size_t i : change.items) formula.items[i].percent = 0;
  if (change.ingredient.empty()) return;
  FormulaItem fresh;
  fresh.written = change.name;
  fresh.ingredient = change.ingredient;
  fresh.percent = change.percent_after;
  fresh.phase = formula.items[change.items.front()].phase;
  formula.items[change.items.front()] = std::move(fresh);
}

}  // namespace

std::optional<Formula> with_change(const Formula& formula, const Change& change) {
  Formula changed = formula;
  const bool scaled = change.kind == ChangeKind::lower_level || change.kind == ChangeKind::more_preservative;
  if (scaled) scale(change, changed);
  else replace(change, changed);
  double difference = 0;
  for (std::size_t i = 0; i < formula.items.size(); ++i)
    difference += changed.items[i].percent - formula.items[i].percent;
  FormulaItem* water = water_of(changed);
  if (!water) return difference <= 0 ? std::optional(std::move(changed)) : std::nullopt;
  water->percent -= difference;
  return water->percent >= 0 ? std::optional(std::move(changed)) : std::nullopt;
}

std::vector<Remedy> remedies_for(const Formula& formula, const Judged& judged, const Tables& tables,
                                 const JudgeOptions& options, const Exclusions& exclusions) {
  const remedy::Asked asked{tables, options, exclusions};
  if (remedy::troubles_of(formula, judged, tables).empty()) return {};
  auto remedies = remedy::search(formula, judged, asked);
  if (remedies.size() < most_remedies)
    for (auto& split : remedy::splits(formula, judged, asked)) remedies.push_back(std::move(split));
  std::ranges::stable_sort(remedies, {}, &Remedy::cost);
  if (remedies.size() > most_remedies) remedies.resize(most_remedies);
  return remedies;
}

}  // namespace counterion
