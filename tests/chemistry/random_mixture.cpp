// SPDX-License-Identifier: MIT
#include "random_mixture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace test {
namespace {

using namespace counterion;

constexpr int most_steps = 20, most_charge = 12;

std::vector<Ionisation> random_steps(Dice& dice, int count) {
  std::vector<double> pK;
  for (int i = 0; i < count; ++i) pK.push_back(dice.between(-3, 16));
  if (dice.chance(0.9)) std::sort(pK.begin(), pK.end());
  std::vector<Ionisation> steps;
  for (const double value : pK)
    steps.push_back({value, dice.between(-60, 60), dice.between(-300, 200), 0});
  return steps;
}

std::vector<double> random_sizes(Dice& dice, int forms) {
  std::vector<double> sizes;
  if (dice.chance(0.5))
    for (int i = 0; i < forms; ++i) sizes.push_back(dice.between(2, 11));
  return sizes;
}

Protolyte random_protolyte(Dice& dice) {
  const int count = dice.chance(0.7) ? dice.whole(1, 4) : dice.whole(1, most_steps);
  const int charge = dice.chance(0.7) ? dice.whole(std::max(0, count - most_charge), 2 + count / 3)
                                      : dice.whole(std::max(-3, count - most_charge), most_charge);
  return Protolyte(std::min(charge, most_charge), random_steps(dice, count), "",
                   random_sizes(dice, count + 1));
}

StrongIon random_ion(Dice& dice) {
  const int charge = dice.chance(0.8) ? dice.whole(-2, 2) : dice.whole(-most_charge, most_charge);
  return {"", charge, dice.between(2, 11)};
}

double random_molality(Dice& dice) {
  if (dice.chance(0.05)) return 0;
  return std::pow(10.0, dice.chance(0.7) ? dice.between(-6, 0) : dice.between(-12, 1));
}

Amount random_amount(Dice& dice) {
  if (dice.chance(0.1)) return {StrongIon{"humectant", 0}, mol_per_kg(dice.between(0, 40))};
  const Molality molality = mol_per_kg(random_molality(dice));
  if (dice.chance(0.3)) return {random_ion(dice), molality};
  return {random_protolyte(dice), molality};
}

bool is_tame(const Protolyte& protolyte) {
  const auto& steps = protolyte.steps();
  const int first = protolyte.charge_fully_protonated();
  const int last = first - static_cast<int>(steps.size());
  return first <= 4 && last >= -4 &&
         std::is_sorted(steps.begin(), steps.end(),
                        [](const auto& a, const auto& b) { return a.pK < b.pK; });
}

NeutralForm random_form(Dice& dice) {
  NeutralForm form;
  if (dice.chance(0.5)) form.elsewhere = std::pow(10.0, dice.between(-3, 3));
  if (dice.chance(0.3)) form.converted = dice.between(0, 1);
  if (dice.chance(0.3)) form.paired = std::pow(10.0, dice.between(-3, 5));
  if (dice.chance(0.3)) form.solubility = std::pow(10.0, dice.between(-6, 0));
  return form;
}

/// A weak acid that the gas above holds, as carbon dioxide is.
Amount random_gas(Dice& dice) {
  NeutralForm form;
  form.solubility = std::pow(10.0, dice.between(-6, -2));
  form.held = true;
  const double pK = dice.between(4, 9);
  return {Protolyte(0, {{pK}, {pK + dice.between(2, 5)}}, "gas"), mol_per_kg(0), form};
}

}  // namespace

bool has_neutral_form(const Protolyte& protolyte) {
  const int first = protolyte.charge_fully_protonated();
  return first >= 0 && first <= static_cast<int>(protolyte.steps().size());
}

bool is_tame(const std::vector<Amount>& amounts) {
  return std::all_of(amounts.begin(), amounts.end(), [](const Amount& amount) {
    const auto* protolyte = std::get_if<Protolyte>(&amount.what);
    return protolyte == nullptr || is_tame(*protolyte);
  });
}

std::uint64_t Dice::next() {
  std::uint64_t z = (state_ += 0x9e3779b97f4a7c15u);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

double Dice::between(double low, double high) {
  return low + (high - low) * static_cast<double>(next() >> 11) * 0x1p-53;
}

int Dice::whole(int low, int high) {
  return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
}

RandomMixture random_mixture(Dice& dice) {
  RandomMixture mixture;
  const int components = dice.chance(0.02) ? 0 : dice.whole(1, 8);
  for (int i = 0; i < components; ++i) mixture.amounts.push_back(random_amount(dice));
  mixture.conditions.temperature = celsius(dice.between(0, 80));
  mixture.conditions.activity =
      dice.chance(0.6) ? Activity::davies : static_cast<Activity>(dice.whole(1, 2));
  return mixture;
}

Additive random_additive(Dice& dice) {
  Additive additive;
  const double stock = dice.between(0.1, 10);  // mol per kg of its water
  if (dice.chance(0.5)) {
    additive.brings.push_back({StrongIon{"", dice.chance(0.5) ? 1 : -1}, mol_per_kg(1)});
  } else {
    additive.brings.push_back({random_protolyte(dice), mol_per_kg(1)});
    if (dice.chance(0.5))
      additive.brings.push_back(
          {StrongIon{"", dice.chance(0.5) ? 1 : -1}, mol_per_kg(dice.whole(1, 3))});
  }
  if (dice.chance(0.5)) additive.water = grams(1000 / stock);
  return additive;
}

std::vector<Amount> random_batch(Dice& dice) {
  std::vector<Amount> batch;
  do batch = random_mixture(dice).amounts;
  while (!is_tame(batch));
  for (std::size_t i = 0; i < batch.size(); ++i) {
    const std::string name = fmt::format("substance-{}", dice.whole(1, 9));
    if (auto* ion = std::get_if<StrongIon>(&batch[i].what)) {
      ion->name = name;
      ion->charge = std::clamp(ion->charge, -3, 3);
      continue;
    }
    const auto& old = std::get<Protolyte>(batch[i].what);
    batch[i].what = Protolyte(old.charge_fully_protonated(), old.steps(), name);
    if (has_neutral_form(old)) batch[i].neutral = random_form(dice);
  }
  if (dice.chance(0.3)) batch.push_back(random_gas(dice));
  if (dice.chance(0.3))
    batch.push_back({AcidPolymer{dice.between(2, 7), dice.between(2, 12)},
                     mol_per_kg(std::pow(10.0, dice.between(-4, 0)))});
  return batch;
}

}  // namespace test
