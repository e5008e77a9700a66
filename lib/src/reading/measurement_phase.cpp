// SPDX-License-Identifier: MIT
#include "measurement_phase.hpp"

#include <counterion/batch/moved_phase.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

double kelvin_of(const WaterPhase& phase) {
  return in_celsius(phase.conditions.temperature) + ice_point_kelvin;
}

/// What a constant of Henry's law that a driver holds becomes at another temperature.
double henry_ratio(double from_kelvin, double to_kelvin, const Tables& tables) {
  const auto* henry = tables.constant("carbonic-acid", "henry-constant", "air");
  if (!henry) return 1;
  const Ionisation dissolution{-std::log10(henry->value), henry->dH_kJ_per_mol.value_or(0),
                               henry->dCp_J_per_mol_K.value_or(0)};
  return std::pow(
      10.0, chemistry::pK_at(dissolution, from_kelvin) - chemistry::pK_at(dissolution, to_kelvin));
}

const Driver* air_of(const WaterPhase& phase) {
  const auto air = std::ranges::find(phase.drivers, DriverKind::carbon_dioxide, &Driver::kind);
  return air == phase.drivers.end() ? nullptr : &*air;
}

/// The strong charge (mol/kg of water) with which a phase has this pH; its ions count in the ionic
/// strength, so that it is found in passes.
double strong_charge_for(const WaterPhase& phase, double ph) {
  constexpr int passes = 12;
  double charge = 0;
  for (int pass = 0; pass < passes; ++pass) {
    WaterPhase with = phase;
    with.mixture.add_strong_charge(charge);
    const double missing = -charge_at(with, ph).charge;
    charge += missing;
    if (std::abs(missing) < 1e-14 + 1e-12 * std::abs(charge)) break;
  }
  return charge;
}

}  // namespace

WaterPhase at_temperature(WaterPhase phase, double celsius_wanted) {
  const double before = kelvin_of(phase), after = celsius_wanted + ice_point_kelvin;
  if (before == after) return phase;
  for (std::size_t k = 0; k < phase.protolytes.size(); ++k)
    for (std::size_t j = 0; j < phase.protolytes[k].steps().size(); ++j) {
      const auto& step = phase.protolytes[k].steps()[j];
      const double less = chemistry::pK_at(step, before) - chemistry::pK_at(step, after);
      phase.mixture.protolytes[k].ladder.K[j] *= std::pow(10.0, less);
    }
  phase.conditions.temperature = celsius(celsius_wanted);
  phase.conditions.water.reset();
  phase.water = chemistry::water_at(celsius_wanted);
  return phase;
}

ReadPhase::ReadPhase(const WaterPhase& phase, double ph, const Measuring& measuring,
                     const Tables& tables)
    : product_(phase),
      read_(phase),
      dilution_(measuring.dilution),
      sample_celsius_(measuring.sample_celsius.value_or(in_celsius(phase.conditions.temperature))),
      tables_(tables) {
  const double before = kelvin_of(phase);
  read_ = diluted(at_temperature(std::move(read_), sample_celsius_), dilution_, tables);
  const double missing = strong_charge_for(read_, ph);
  read_.mixture.add_strong_charge(missing);
  product_.mixture.add_strong_charge(missing / share_of_own_water(phase, dilution_));
  for (auto& driver : read_.drivers)
    if (driver.kind == DriverKind::carbon_dioxide)
      driver.low *= henry_ratio(before, kelvin_of(read_), tables);
}

double ReadPhase::undiluted() const {
  return ph_of(at_temperature(product_, sample_celsius_));
}

double ReadPhase::in_clean_water() const {
  Dilution clean = dilution_;
  clean.carbon_dioxide_mol_per_kg = 0;
  return ph_of(diluted(at_temperature(product_, sample_celsius_), clean, tables_));
}

double ReadPhase::open_to_air() const {
  std::vector<double> deviates(read_.drivers.size(), 0.0);
  for (std::size_t d = 0; d < deviates.size(); ++d)
    if (read_.drivers[d].kind == DriverKind::carbon_dioxide) deviates[d] = -deviates_to_end;
  return MovedPhase(read_).ph_at(deviates);
}

double ReadPhase::moved_by_temperature(double degrees) const {
  const double here = in_celsius(product_.conditions.temperature), middle = ph_of(product_);
  double most = 0;
  for (const double there : {here - degrees, here + degrees}) {
    const double within = std::clamp(there, 0.0, 80.0);
    most = std::max(most, std::abs(ph_of(at_temperature(product_, within)) - middle));
  }
  return most;
}

double ReadPhase::oil_litres_per_kg() const {
  double sum = 0;
  for (const auto& [kind, litres] : read_.surroundings.oil_litres) sum += litres;
  return sum;
}

Figure ReadPhase::air_source() const {
  const Driver* air = air_of(read_);
  return air ? Figure{0, air->source, air->row_id} : Figure{};
}

}  // namespace counterion
