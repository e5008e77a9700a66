// SPDX-License-Identifier: MIT
#include <counterion/reading/hypotheses.hpp>
#include <counterion/reading/measurement.hpp>

#include <algorithm>

namespace counterion {
namespace {

constexpr std::string_view water_id = "water";

/// Lines in percent of what is there, the batch being so much larger or smaller.
void weigh_again(Formula& formula) {
  double sum = 0;
  for (const auto& item : formula.items) sum += item.percent;
  if (!(sum > 0)) return;
  formula.batch_g *= sum / 100;
  for (auto& item : formula.items) item.percent *= 100 / sum;
}

}  // namespace

Formula varied(const Formula& formula, const Variation& variation) {
  Formula other = formula;
  for (const auto& line : variation.lines) {
    auto& item = other.items.at(line.item);
    item.percent *= line.factor;
    if (line.ingredient.empty()) continue;
    item.ingredient = line.ingredient;
    item.strength_percent.reset(), item.declared_ph_low.reset(), item.declared_ph_high.reset();
  }
  for (auto& item : other.items)
    if (item.ingredient == water_id) item.percent *= variation.water_left;
  if (!variation.lines.empty() || variation.water_left < 1) weigh_again(other);
  return other;
}

std::vector<BatchReading> varied(std::span<const BatchReading> readings,
                                 const Variation& variation) {
  std::vector<BatchReading> others(readings.begin(), readings.end());
  BatchReading* last = nullptr;
  for (auto& reading : others)
    if (!reading.added.empty()) last = &reading;
  for (auto& reading : others) {
    if (!variation.last_portion_only || &reading == last)
      for (auto& portion : reading.added) portion.grams *= variation.portions;
    if (variation.celsius) {
      reading.ph =
          std::clamp(shown_without_compensation(reading.ph, 25, *variation.celsius), 0.0, 14.0);
      reading.celsius = variation.celsius;
    }
    if (variation.dilution) reading.dilution = *variation.dilution;
    if (variation.age_days) reading.age_days = variation.age_days;
  }
  return others;
}

void vary(WaterPhase& phase, const Variation& variation) {
  if (variation.carbonate_mol_per_kg > 0) {
    const double kelvin = in_celsius(phase.conditions.temperature) + ice_point_kelvin;
    if (const auto known = phase.protolyte("carbonic-acid"))
      phase.mixture.protolytes[*known].molality += variation.carbonate_mol_per_kg;
    else
      phase.mixture.protolytes.push_back(
          {variation.carbonate_mol_per_kg, chemistry::Ladder(phase.carbonic_acid, kelvin)});
  }
  phase.mixture.add_strong_charge(variation.alkali_mol_per_kg);
}

}  // namespace counterion
