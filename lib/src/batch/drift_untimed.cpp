// SPDX-License-Identifier: MIT
#include "drift_untimed.hpp"

#include "kinetics.hpp"

#include <algorithm>
#include <array>

namespace counterion::kinetics {
namespace {

bool within(const tables::Change& row, double ph) {
  return row.minimum_ph.value_or(0) <= ph && ph <= row.maximum_ph.value_or(14);
}

/// A pH that was reached is reached from the side of the other effect.
bool moves_towards(const tables::Change& row, double ph) {
  const bool falls =
      row.acid_base_effect == "acid-appears" || row.acid_base_effect == "base-disappears";
  return row.value && (falls ? ph > *row.value : ph < *row.value);
}

/// Whether a row without a speed says that something happens at this pH.
bool happens(const tables::Change& row, double ph) {
  if (row.quantity == "trend" || row.quantity == "rate-constant" || row.quantity == "half-life")
    return within(row, ph);
  if (row.quantity == "stable-span") return !within(row, ph);
  if (row.quantity == "lowest-stable-pH") return row.value && ph < *row.value;
  return row.quantity == "pH-reached" && moves_towards(row, ph);
}

bool is_carbon_dioxide(const tables::Change& row) {
  return row.product == "carbonic-acid";
}

/// The surest row of a line for each effect.
std::vector<const tables::Change*> surest_rows(std::string_view ingredient, double ph,
                                               const Tables& tables) {
  std::vector<const tables::Change*> surest;
  for (const auto& row : tables.changes_of(ingredient)) {
    if (row.acid_base_effect == "none" || !happens(row, ph) || is_carbon_dioxide(row) ||
        is_timed(row, tables))
      continue;
    const auto same = std::ranges::find(surest, row.acid_base_effect,
                                        [](const auto* one) { return one->acid_base_effect; });
    if (same == surest.end())
      surest.push_back(&row);
    else if (is_surer(row, **same))
      *same = &row;
  }
  return surest;
}

}  // namespace

std::vector<UntimedChange> untimed_changes(
    const Formula& formula, double ph,
    const std::vector<std::pair<std::size_t, std::string>>& timed, const Tables& tables) {
  std::vector<UntimedChange> all;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    if (!(formula.items[i].percent > 0)) continue;
    for (const auto* row : surest_rows(formula.items[i].ingredient, ph, tables)) {
      if (std::ranges::count(timed, std::pair(i, std::string(row->acid_base_effect)))) continue;
      all.push_back({i, std::string(row->acid_base_effect), std::string(row->watch_for),
                     std::string(row->provenance.source), std::string(row->provenance.row_id)});
    }
  }
  return all;
}

}  // namespace counterion::kinetics
