// SPDX-License-Identifier: MIT
#include <counterion/batch/dilution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

constexpr std::string_view carbonic_acid_id = "carbonic-acid";

double kelvin_of(const WaterPhase& phase) {
  return in_celsius(phase.conditions.temperature) + ice_point_kelvin;
}

void thin(chemistry::Mixture& mixture, double share) {
  for (auto& part : mixture.protolytes) {
    part.molality *= share;
    part.neutral = part.neutral.in_more_water(1 / share);
  }
  for (auto& part : mixture.polymers) part.molality *= share;
  for (auto& ion : mixture.ions) ion.molality *= share;
  mixture.strong_charge *= share;
  mixture.strong_ionic *= share;
  mixture.inert_solutes *= share;
}

void thin(Surroundings& surroundings, double share) {
  for (auto& [kind, litres] : surroundings.oil_litres) litres *= share;
  for (auto& [kind, percent] : surroundings.surfactant_percent) percent *= share;
  for (auto& [substance, grams] : surroundings.solvent_grams) grams *= share;
}

/// Whether a driver's interval is an amount that the product brings, per kg of water.
bool is_brought(DriverKind kind) {
  return kind == DriverKind::content || kind == DriverKind::progress ||
         kind == DriverKind::residual_charge || kind == DriverKind::unlisted_charge ||
         kind == DriverKind::unlisted_buffer;
}

void thin(std::vector<Driver>& drivers, double share) {
  for (auto& driver : drivers)
    if (is_brought(driver.kind)) driver.low *= share, driver.high *= share;
}

/// The interval of a pK, of whose ± a part came from the solvent.
void narrow(Driver& driver, double before, double after) {
  const auto without = [&](double half) {
    return std::sqrt(std::max(0.0, half * half - before * before));
  };
  driver.low = -std::hypot(without(driver.low), after);
  driver.high = std::hypot(without(driver.high), after);
}

void narrow(std::vector<Driver>& drivers, DriverKind kind, std::size_t subject, std::size_t step,
            double before, double after) {
  for (auto& driver : drivers)
    if (driver.kind == kind && driver.subject == subject && driver.step == step)
      narrow(driver, before, after);
}

/// Moves a protolyte's pK to where the thinner solvent puts them; groups that no line brought were
/// taken as they are in plain water.
void move_pK(std::size_t k, const Surroundings& thick, WaterPhase& phase, const Tables& tables) {
  const Protolyte before = protolyte_in(thick, *phase.substances[k], tables);
  if (phase.protolytes[k] != before) return;
  phase.protolytes[k] = protolyte_in(phase.surroundings, *phase.substances[k], tables);
  const double kelvin = kelvin_of(phase);
  for (std::size_t j = 0; j < before.steps().size(); ++j) {
    const auto &old = before.steps()[j], &now = phase.protolytes[k].steps()[j];
    const double less = chemistry::pK_at(old, kelvin) - chemistry::pK_at(now, kelvin);
    phase.mixture.protolytes[k].ladder.K[j] *= std::pow(10.0, less);
    narrow(phase.drivers, DriverKind::constant, k, j, old.uncertainty, now.uncertainty);
  }
}

void move_polymer_pK(std::size_t k, const Surroundings& thick, WaterPhase& phase,
                     const Tables& tables) {
  const double bare = polymer_of(*phase.polymer_substances[k], tables).pK0;
  const Ionisation before = shifted_in(thick, {bare, 0, 0, 0}, tables),
                   after = shifted_in(phase.surroundings, {bare, 0, 0, 0}, tables);
  phase.mixture.polymers[k].polymer.pK0 += after.pK - before.pK;
  narrow(phase.drivers, DriverKind::polymer_constant, k, 0, before.uncertainty, after.uncertainty);
}

void add_driver(Driver driver, WaterPhase& phase) {
  phase.drivers.push_back(std::move(driver));
  for (auto& direction : phase.learned) direction.push_back(0);
}

/// Sets what the water holds of a neutral form that alcohol or glycol held before.
void limit_solubility(std::size_t k, WaterPhase& phase, const Tables& tables) {
  auto& part = phase.mixture.protolytes[k];
  const auto shared =
      neutral_form_in(phase.surroundings, *phase.substances[k], part.molality, tables);
  const auto* row = shared.solubility_row;
  if (!row) return;
  part.neutral.solubility = row->value;
  add_driver({DriverKind::solubility, std::nullopt,
              fmt::format("how much {} the water dissolves", phase.substances[k]->name),
              std::string(row->provenance.source), std::string(row->provenance.row_id), k, 0, 0,
              false, -std::min(row->uncertainty, 0.9 * row->value), row->uncertainty},
             phase);
}

void leave_solvent(const Surroundings& thick, WaterPhase& phase, const Tables& tables) {
  if (thick.solvent_grams.empty()) return;
  for (std::size_t k = 0; k < phase.substances.size(); ++k) move_pK(k, thick, phase, tables);
  for (std::size_t k = 0; k < phase.polymer_substances.size(); ++k)
    move_polymer_pK(k, thick, phase, tables);
  if (thick.solvent_fraction() <= most_solvent_for_solubility) return;
  for (std::size_t k = 0; k < phase.substances.size(); ++k) limit_solubility(k, phase, tables);
}

void add_carbonate(double molality, WaterPhase& phase, const Tables& tables) {
  if (!(molality > 0)) return;
  const auto* substance = tables.substance(carbonic_acid_id);
  if (!phase.protolyte(carbonic_acid_id) && substance) {
    phase.substances.push_back(substance);
    phase.protolytes.push_back(protolyte_in(phase.surroundings, *substance, tables));
    phase.mixture.protolytes.push_back(
        {0, chemistry::Ladder(phase.protolytes.back(), kelvin_of(phase)),
         neutral_form_in(phase.surroundings, *substance, 0, tables).form});
  }
  if (const auto k = phase.protolyte(carbonic_acid_id))
    phase.mixture.protolytes[*k].molality += molality;
}

}  // namespace

void add_problems_of(const Dilution& dilution, const Place& place, std::vector<Problem>& problems) {
  if (!(dilution.product_g > 0 && dilution.product_g <= 1e9))
    add_problem(problems, place, fmt::format("{} g of product were diluted", dilution.product_g),
                "more than 0 g, 1e9 g at most");
  if (!(dilution.water_g >= 0 && dilution.water_g <= 1e9))
    add_problem(problems, place, fmt::format("it was diluted with {} g of water", dilution.water_g),
                "0 g or more, 1e9 g at most");
  if (const double carbonate = dilution.carbon_dioxide_mol_per_kg;
      !(carbonate >= 0 && carbonate <= 1))
    add_problem(problems, place,
                fmt::format("the added water holds {} mol/kg of carbon dioxide", carbonate),
                "0 to 1 mol/kg");
}

double carbon_dioxide_of_air(const Tables& tables, double celsius) {
  const auto* henry = tables.constant(carbonic_acid_id, "henry-constant", "air");
  const auto* pressure = tables.constant(carbonic_acid_id, "partial-pressure", "air");
  const auto* substance = tables.substance(carbonic_acid_id);
  if (!henry || !pressure || !substance) return 0;
  const double kelvin = celsius + ice_point_kelvin;
  const Ionisation dissolution{-std::log10(henry->value), henry->dH_kJ_per_mol.value_or(0),
                               henry->dCp_J_per_mol_K.value_or(0)};
  const double neutral = pressure->value * std::pow(10.0, -chemistry::pK_at(dissolution, kelvin));
  const double K =
      std::pow(10.0, -chemistry::pK_at(protolyte_of(*substance, tables).steps().front(), kelvin));
  return neutral + std::sqrt(K * neutral);  // H+ and HCO3-; all else is nothing beside them
}

double share_of_own_water(const WaterPhase& phase, const Dilution& dilution) {
  const double own = dilution.product_g * phase.water_percent / 100;
  return own / (own + dilution.water_g);
}

WaterPhase diluted(WaterPhase phase, const Dilution& dilution, const Tables& tables) {
  std::vector<Problem> problems;
  add_problems_of(dilution, {}, problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
  if (!dilution.diluted()) return phase;
  const double share = share_of_own_water(phase, dilution);
  const Surroundings thick = phase.surroundings;
  thin(phase.mixture, share);
  thin(phase.surroundings, share);
  thin(phase.drivers, share);
  for (auto& part : phase.parts) part.molality *= share;
  for (double& charge : phase.residual_mol_per_kg) charge *= share;
  leave_solvent(thick, phase, tables);
  add_carbonate((1 - share) * dilution.carbon_dioxide_mol_per_kg, phase, tables);
  const double own_g = dilution.product_g * phase.water_percent / 100;
  phase.water_percent = 100 * (own_g + dilution.water_g) / (dilution.product_g + dilution.water_g);
  return phase;
}

}  // namespace counterion
