// SPDX-License-Identifier: MIT
#include <counterion/judgement/electrolyte.hpp>

#include "level_rows.hpp"

namespace counterion {

Electrolyte electrolyte_of(const Formula& formula, const Prediction& prediction, const Tables& tables) {
  Electrolyte result;
  result.load = prediction.ionic_strength;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    const auto& item = formula.items[i];
    if (!item.listed() || !(item.percent > 0)) continue;
    if (tables.covers("anionic", item.ingredient)) result.anionic.push_back(i);
    if (tables.covers("cationic", item.ingredient)) result.cationic.push_back(i);
    if (const auto* row = rank_one_level(item.ingredient, "electrolyte-tolerance", tables))
      result.thickeners.push_back({i, row->value, row->upper_value, std::string(row->condition),
                                   std::string(row->provenance.source), std::string(row->provenance.row_id)});
  }
  return result;
}

}  // namespace counterion
