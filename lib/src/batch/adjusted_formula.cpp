// SPDX-License-Identifier: MIT
#include <counterion/batch/adjusted_formula.hpp>

#include <algorithm>

namespace counterion {
namespace {

constexpr std::string_view water_id = "water";

FormulaItem adjuster_line(const Adjuster& adjuster, double percent, const Tables& tables) {
  FormulaItem line;
  line.written = tables.display_name(adjuster.ingredient);
  line.ingredient = adjuster.ingredient;
  line.percent = percent * adjuster.stock_percent / 100;
  line.note = adjuster_note;
  return line;
}

FormulaItem stock_water_line(const Adjuster& adjuster, double percent) {
  FormulaItem line;
  line.written = line.ingredient = std::string(water_id);
  line.percent = percent * (1 - adjuster.stock_percent / 100);
  return line;
}

/// Room for so many percent: out of the water, or by making all lines less.
void make_room(Formula& formula, double percent, bool from_water) {
  if (const FormulaItem* water = from_water ? water_of(formula) : nullptr)
    formula.items[static_cast<std::size_t>(water - formula.items.data())].percent -= percent;
  else
    for (auto& item : formula.items) item.percent *= 1 - percent / 100;
}

/// Portions of one adjuster added up, in the order of the first.
std::vector<Portion> summed(std::span<const Portion> portions) {
  std::vector<Portion> sums;
  for (const auto& portion : portions) {
    const auto known = std::ranges::find(sums, portion.adjuster, &Portion::adjuster);
    if (known == sums.end())
      sums.push_back(portion);
    else
      known->grams += portion.grams;
  }
  return sums;
}

}  // namespace

const FormulaItem* water_of(const Formula& formula) {
  const FormulaItem* most = nullptr;
  for (const auto& item : formula.items)
    if (item.ingredient == water_id && (!most || item.percent > most->percent)) most = &item;
  return most;
}

Formula with_adjuster(const Formula& formula, const Adjuster& adjuster, double percent,
                      bool from_water, const Tables& tables) {
  Formula adjusted = formula;
  make_room(adjusted, percent, from_water);
  auto water = stock_water_line(adjuster, percent);
  if (water.percent > 0) adjusted.items.push_back(std::move(water));
  adjusted.items.push_back(adjuster_line(adjuster, percent, tables));
  return adjusted;
}

Formula with_portions(const Formula& formula, std::span<const Portion> portions,
                      const Tables& tables) {
  Formula batch = formula;
  double grams = 0;
  for (const auto& portion : portions) grams += portion.grams;
  const FormulaItem* water = water_of(formula);
  const bool from_water = water && 100 * grams / formula.batch_g < 0.99 * water->percent;
  if (!from_water) batch.batch_g += grams;
  make_room(batch, 100 * grams / batch.batch_g, from_water);
  for (const auto& portion : summed(portions)) {
    const double percent = 100 * portion.grams / batch.batch_g;
    batch.items.push_back(stock_water_line(portion.adjuster, percent));
    batch.items.push_back(adjuster_line(portion.adjuster, percent, tables));
  }
  return batch;
}

}  // namespace counterion
