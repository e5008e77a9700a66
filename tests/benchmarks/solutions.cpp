// SPDX-License-Identifier: MIT
#include "solutions.hpp"

#include <cmath>
#include <limits>
#include <stdexcept>

namespace benchmarks {

using namespace counterion;

namespace {

Amount protolyte(const char* name, int charge, const std::vector<double>& pK, double molality) {
  std::vector<Ionisation> steps;
  for (const double value : pK) steps.push_back({value});
  return {Protolyte(charge, std::move(steps), name), mol_per_kg(molality)};
}

Amount ion(const char* name, int charge, double molality) {
  return {StrongIon{name, charge}, mol_per_kg(molality)};
}

}  // namespace

std::vector<Amount> six_acids_alone() {
  return {
      protolyte("acetic", 0, {4.756}, 0.02),
      protolyte("hydrogensulfate", -1, {1.987}, 0.01),
      protolyte("lactic", 0, {3.86}, 0.02),
      protolyte("salicylic", 0, {2.98, 13.7}, 0.005),
      protolyte("succinic", 0, {4.207, 5.636}, 0.02),
      protolyte("tartaric", 0, {3.036, 4.366}, 0.02),
  };
}

std::vector<Amount> six_acids() {
  auto amounts = six_acids_alone();
  amounts.push_back(ion("sodium", 1, 0.07));
  return amounts;
}

Conditions engine_conditions() {
  Conditions conditions;
  conditions.water = Water{13.99475154, 0.51002479, 0.32849063, WaterActivity::linear};
  conditions.davies_held_beyond = mol_per_kg(std::numeric_limits<double>::infinity());
  return conditions;
}

std::vector<Amount> protolytes(std::size_t count) {
  const double total = 0.1, n = static_cast<double>(count);
  std::vector<Amount> amounts;
  for (std::size_t i = 0; i < count; ++i) {
    const double place = (static_cast<double>(i) + 0.5) / n, spread = 4 * place - 2;
    amounts.push_back(protolyte("acid", 0, {3 + spread, 7 + spread, 11 + spread}, total / n));
  }
  amounts.push_back(ion("sodium", 1, 1.5 * total));
  return amounts;
}

std::vector<double> Uncertain::pK() const {
  std::vector<double> values;
  if (const auto* known = std::get_if<Protolyte>(&amount.what))
    for (const auto& step : known->steps()) values.push_back(step.pK);
  return values;
}

// Constants from memory, amounts of common practice.
std::vector<Uncertain> gel_cream() {
  return {
      {protolyte("anisic", 0, {4.47}, 0.008), 0.01, 0.05},
      {protolyte("arginine", 2, {1.82, 8.99, 13.8}, 0.01), 0.02, 0.05},
      {protolyte("benzoic", 0, {4.2}, 0.025), 0.01, 0.02},
      {protolyte("carbonic", 0, {6.352, 10.329}, 0.0005), 0.03, 0.02},
      {protolyte("citric", 0, {3.128, 4.761, 6.396}, 0.01), 0.01, 0.02},
      {protolyte("edetic", 0, {2, 2.67, 6.16, 10.26}, 0.003), 0.02, 0.1},
      {protolyte("gluconic", 0, {3.86}, 0.01), 0.02, 0.1},
      {protolyte("glycine", 1, {2.351, 9.78}, 0.005), 0.01, 0.02},
      {protolyte("lactic", 0, {3.86}, 0.02), 0.03, 0.02},
      {protolyte("levulinic", 0, {4.64}, 0.02), 0.02, 0.05},
      {protolyte("nicotinamide", 1, {3.35}, 0.15), 0.01, 0.05},
      {protolyte("phosphoric", 0, {2.148, 7.198, 12.35}, 0.005), 0.01, 0.02},
      {protolyte("pyroglutamic", 0, {3.2}, 0.02), 0.03, 0.1},
      {protolyte("salicylic", 0, {2.98}, 0.005), 0.01, 0.02},
      {protolyte("sorbic", 0, {4.76}, 0.01), 0.01, 0.02},
      {protolyte("triethanolamine", 1, {7.762}, 0.015), 0.02, 0.02},
      {protolyte("tromethamine", 1, {8.072}, 0.01), 0.01, 0.02},
      {ion("chloride", -1, 0.01), 0.01},
      {ion("potassium", 1, 0.01), 0.01},
      {ion("sodium", 1, 0.06), 0.01},
  };
}

std::vector<Amount> amounts_of(const std::vector<Uncertain>& formula) {
  std::vector<Amount> amounts;
  for (const auto& ingredient : formula) amounts.push_back(ingredient.amount);
  return amounts;
}

Prepared::Prepared(const std::vector<Amount>& amounts, const Conditions& conditions)
    : water_(conditions.water.value_or(chemistry::water_at(in_celsius(conditions.temperature)))),
      mixture_(mixture_of(amounts, conditions.temperature.value())),
      model_{water_, in_mol_per_kg(conditions.davies_held_beyond)} {}

double Prepared::ph() const {
  return -chemistry::solve(mixture_, water_, model_).x / chemistry::ln10;
}

void require_same_ph(double found, double expected) {
  if (!(std::abs(found - expected) <= 1e-8))
    throw std::logic_error("pH " + std::to_string(found) + " instead of " + std::to_string(expected));
}

}  // namespace benchmarks
