// SPDX-License-Identifier: MIT
#include <counterion/batch/moved_phase.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// The middle of what a driver moves where only its logarithm is normal; nothing where it is not
/// so.
double sure_sign(const Driver& driver, const WaterPhase& phase) {
  if (driver.kind != DriverKind::residual_charge || !driver.item) return 0;
  const double middle = phase.residual_mol_per_kg[*driver.item];
  const bool sure = middle * (middle + driver.low) > 0 && middle * (middle + driver.high) > 0;
  return sure ? middle : 0;
}

void grow(double& amount, double by) {
  amount = std::max(0.0, amount + by);
}

}  // namespace

double deviation_of(const Driver& driver, double deviate, const WaterPhase& phase) {
  const double ends = deviate / deviates_to_end;
  const double end = ends < 0 ? driver.low : driver.high;
  if (driver.kind != DriverKind::residual_charge) return std::abs(ends) * end;
  if (const double middle = sure_sign(driver, phase); middle != 0)
    return middle * (std::pow((middle + end) / middle, std::abs(ends)) - 1);
  return std::abs(ends) * end;
}

const chemistry::Mixture& MovedPhase::at(std::span<const double> deviates) {
  reset();
  for (std::size_t d = 0; d < phase_.drivers.size(); ++d)
    move(phase_.drivers[d], deviation_of(phase_.drivers[d], deviates[d], phase_));
  mixture_.add_strong_charge(strong_charge_);
  return mixture_;
}

void MovedPhase::reset() {
  const auto& middle = phase_.mixture;
  mixture_.protolytes.resize(middle.protolytes.size());
  for (std::size_t k = 0; k < middle.protolytes.size(); ++k) {
    mixture_.protolytes[k].molality = middle.protolytes[k].molality;
    mixture_.protolytes[k].neutral = middle.protolytes[k].neutral;
    std::ranges::copy(middle.protolytes[k].ladder.K, mixture_.protolytes[k].ladder.K.begin());
  }
  for (std::size_t k = 0; k < middle.polymers.size(); ++k) {
    mixture_.polymers[k].molality = middle.polymers[k].molality;
    mixture_.polymers[k].polymer.pK0 = middle.polymers[k].polymer.pK0;
  }
  mixture_.ions.resize(middle.ions.size());
  for (std::size_t k = 0; k < middle.ions.size(); ++k)
    mixture_.ions[k].molality = middle.ions[k].molality;
  mixture_.strong_charge = middle.strong_charge;
  mixture_.strong_ionic = middle.strong_ionic;
  mixture_.inert_solutes = middle.inert_solutes;
  strong_charge_ = air_ = 0;
}

void MovedPhase::move(const Driver& driver, double by) {
  const auto protolyte = [&]() -> chemistry::Dissolved& {
    return mixture_.protolytes[driver.subject];
  };
  switch (driver.kind) {
    case DriverKind::progress:
      return move_reaction(phase_.parts[driver.subject], by);
    case DriverKind::content:
      return move_part(phase_.parts[driver.subject], by, driver.tied_charge);
    case DriverKind::constant:
      protolyte().ladder.K[driver.step] *= std::exp(-by * chemistry::ln10);
      return;
    case DriverKind::residual_charge:
    case DriverKind::unlisted_charge:
      strong_charge_ += by;
      return;
    case DriverKind::carbon_dioxide:
      air_ = driver.low < 0 ? std::clamp(by / driver.low, 0.0, 1.0) : 0;
      return;
    case DriverKind::partition:
      protolyte().neutral.elsewhere *= std::exp(by * chemistry::ln10);
      protolyte().neutral.paired *= std::exp(2 * by * chemistry::ln10);
      return;
    case DriverKind::polymer_constant:
      mixture_.polymers[driver.subject].polymer.pK0 += by;
      return;
    case DriverKind::solubility:
      protolyte().neutral.solubility =
          std::max(0.01 * protolyte().neutral.solubility, protolyte().neutral.solubility + by);
      return;
    case DriverKind::portion:
      for (const auto& part : phase_.parts)
        if (part.item == driver.item) move_part(part, by * part.molality);
      strong_charge_ += by * phase_.residual_mol_per_kg[*driver.item];
      return;
    case DriverKind::unlisted_buffer:
      grow(protolyte().molality, by);
      strong_charge_ += by * driver.tied_charge;
      return;
    case DriverKind::activity_model:
      return move_every_pK(by);
    case DriverKind::meter:
      return;
  }
}

void MovedPhase::move_part(const WaterPhase::Part& part, double molality, double tied_charge) {
  molality = std::max(molality, std::min(0.0, -part.molality));
  for (const auto& [k, mol] : part.protolytes)
    grow(mixture_.protolytes[k].molality, mol * molality);
  for (const auto& [k, mol] : part.polymers) grow(mixture_.polymers[k].molality, mol * molality);
  strong_charge_ += molality * (part.strong_charge_per_mol + tied_charge);
}

void MovedPhase::move_reaction(const WaterPhase::Part& part, double molality) {
  for (const auto& [k, mol] : part.protolytes)
    grow(mixture_.protolytes[k].molality, mol * molality);
  strong_charge_ += molality * part.strong_charge_per_mol;
}

void MovedPhase::move_every_pK(double by) {
  const double factor = std::pow(10.0, -by);
  for (auto& part : mixture_.protolytes)
    for (double& K : part.ladder.K) K *= factor;
  for (auto& part : mixture_.polymers) part.polymer.pK0 += by;
}

/// The root next to that of the phase's own middle.
double MovedPhase::solved_x() {
  return chemistry::with_model(model_choice(phase_.conditions), [&](const auto& model) {
    if constexpr (std::is_same_v<std::decay_t<decltype(model)>, chemistry::SpecificIonModel>)
      return chemistry::solve(mixture_, phase_.water, model).x;
    else {
      if (!middle_) middle_ = chemistry::solve(phase_.mixture, phase_.water, model);
      return chemistry::solve_near(*middle_, mixture_, phase_.water, model).x;
    }
  });
}

/// Carbonate of a batch that stands between closed and at rest with the air: what is at rest
/// depends on the pH, so that both are found in turn.
double MovedPhase::with_air(const Driver& air, double x) {
  const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
  const auto put_in = phase_.protolyte("carbonic-acid");
  const std::size_t place = put_in.value_or(mixture_.protolytes.size());
  if (!put_in) mixture_.protolytes.push_back({0, chemistry::Ladder(phase_.carbonic_acid, kelvin)});
  auto& carbonate = mixture_.protolytes[place];
  const double closed = carbonate.molality;
  const double bicarbonate = -air.low * carbonate.ladder.K.front() * std::exp(-x);
  if (closed == 0 && 2 * bicarbonate < least_charge_) return x;
  constexpr int passes = 10;
  for (double last = x, before = x, pass = 0; pass < passes; ++pass) {
    const double neutral =
        chemistry::shares(carbonate.ladder, std::exp(x), chemistry::IdealModel{}.at(0.0)).front();
    carbonate.molality = closed + air_ * (std::min(-air.low / neutral, closed + air.high) - closed);
    last = x, x = solved_x();
    if (std::abs(x - last) < 1e-3) break;
    if ((x - last) * (last - before) < 0) x = 0.5 * (x + last);  // it swings
    before = last;
  }
  return x;
}

double MovedPhase::ph_at(std::span<const double> deviates) {
  at(deviates);
  double x = solved_x();
  const auto air = std::ranges::find(phase_.drivers, DriverKind::carbon_dioxide, &Driver::kind);
  if (air_ > 0 && air != phase_.drivers.end()) x = with_air(*air, x);
  return -x / chemistry::ln10;
}

namespace {

/// What a driver's deviation changes beside the mixture: the phase's own account of it.
void book(const Driver& driver, double by, WaterPhase& phase) {
  if (driver.kind == DriverKind::content || driver.kind == DriverKind::progress)
    phase.parts[driver.subject].molality += by;
  if (driver.kind == DriverKind::residual_charge) phase.residual_mol_per_kg[*driver.item] += by;
  if (driver.kind != DriverKind::portion) return;
  for (auto& part : phase.parts)
    if (part.item == driver.item) part.molality *= 1 + by;
  phase.residual_mol_per_kg[*driver.item] *= 1 + by;
}

}  // namespace

void MovedPhase::settle(WaterPhase& phase, std::span<const double> deviates) {
  std::vector<Driver> centred = phase.drivers;
  std::vector<double> moves;
  for (std::size_t d = 0; d < centred.size(); ++d) {
    const auto at = [&](double deviate) { return deviation_of(phase.drivers[d], deviate, phase); };
    moves.push_back(at(deviates[d]));
    if (phase.drivers[d].kind == DriverKind::carbon_dioxide) continue;
    constexpr double step = 0.05;
    const double half =
        deviates_to_end * (at(deviates[d] + step) - at(deviates[d] - step)) / (2 * step);
    centred[d].low = -half, centred[d].high = half;
  }
  MovedPhase moved(phase);
  chemistry::Mixture mixture = moved.at(deviates);
  for (std::size_t d = 0; d < centred.size(); ++d) book(phase.drivers[d], moves[d], phase);
  phase.mixture = std::move(mixture);
  phase.drivers = std::move(centred);
}

}  // namespace counterion
