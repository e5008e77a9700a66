// SPDX-License-Identifier: MIT
#include "virtual_batch.hpp"

#include <counterion/batch/moved_phase.hpp>

#include <fmt/format.h>

#include <cmath>

using namespace counterion;

namespace virtual_batch {

double uniform(Random& random, double low, double high) {
  return low + (high - low) * (static_cast<double>(random() >> 11) + 0.5) / 9007199254740992.0;
}

double normal(Random& random) {  // Box and Muller
  return std::sqrt(-2 * std::log(uniform(random, 0, 1))) *
         std::cos(2 * 3.141592653589793 * uniform(random, 0, 1));
}

Truth::Truth(Formula formula, std::uint64_t seed, bool from_the_model)
    : formula_(std::move(formula)), random_(seed), from_the_model_(from_the_model) {
  if (!from_the_model) conditions_.activity = Activity::extended_debye_huckel;
  hidden_buffer_ = !from_the_model && random_() % 2 == 0;
  buffer_pK_ = uniform(random_, 3, 9);
  buffer_ = 1e-3 * std::pow(10.0, uniform(random_, 0, 1));  // 1 to 10 mmol/kg
  hidden_charge_ = from_the_model || hidden_buffer_ ? 0 : 1e-3 * uniform(random_, -5, 5);
  stock_ = 1 + 0.01 * normal(random_);
  model_off_ = normal(random_) / deviates_to_end;
}

double Truth::ph(std::vector<Portion> added) {
  const Tables& tables = Tables::built_in();
  for (auto& portion : added) portion.grams *= stock_;
  auto built = water_phase_of(with_portions(formula_, added, tables), tables, conditions_);
  if (!built) return 0;
  WaterPhase& phase = *built;
  add_unlisted_charge(phase, formula_, tables);
  std::vector<double> deviates;
  for (const auto& driver : phase.drivers) deviates.push_back(deviate(driver, phase));
  if (hidden_buffer_) {
    phase.mixture.protolytes.push_back(
        {hidden_share_ * buffer_,
         chemistry::Ladder(Protolyte(0, {{buffer_pK_}}), chemistry::reference_kelvin)});
    phase.mixture.add_strong_charge(0.5 * hidden_share_ * buffer_);
  }
  if (carbonate_ > 0)
    phase.mixture.protolytes.push_back(
        {hidden_share_ * carbonate_,
         chemistry::Ladder(phase.carbonic_acid, chemistry::reference_kelvin)});
  phase.mixture.add_strong_charge(hidden_share_ * (hidden_charge_ + charge_));
  return MovedPhase(phase).ph_at(deviates) +
         (from_the_model_ ? model_off_ * predict(phase, 0).model_above : 0);
}

namespace {

std::size_t part_of(const Driver& driver, const WaterPhase& phase) {
  std::size_t first = driver.subject;
  while (first > 0 && phase.parts[first - 1].item == phase.parts[driver.subject].item) --first;
  return driver.subject - first;
}

}  // namespace

/// The same for the same quantity in every state of the batch.
double Truth::deviate(const Driver& driver, const WaterPhase& phase) {
  if (driver.kind == DriverKind::carbon_dioxide ||
      (driver.kind == DriverKind::unlisted_charge && !from_the_model_))
    return 0;
  const bool of_substance = driver.kind == DriverKind::constant ||
                            driver.kind == DriverKind::partition ||
                            driver.kind == DriverKind::solubility;
  const std::string subject =
      of_substance
          ? std::string(phase.substances[driver.subject]->id)
          : std::to_string(driver.kind == DriverKind::content ? part_of(driver, phase) : 0);
  const auto key = fmt::format("{}:{}:{}:{}", static_cast<int>(driver.kind),
                               driver.item.value_or(999), subject, driver.step);
  const auto [known, is_new] = drawn_.try_emplace(key, 0);
  if (is_new) known->second = driver.kind == DriverKind::portion ? 0 : drawn(driver);
  return is_shifted_pK(driver) ? deviates_to_end * known->second / driver.high : known->second;
}

/// Whether a quantity is a pK that is off by so much whatever the tables say.
bool Truth::is_shifted_pK(const Driver& driver) const {
  return !from_the_model_ &&
         (driver.kind == DriverKind::constant || driver.kind == DriverKind::polymer_constant);
}

double Truth::drawn(const Driver& driver) {
  return is_shifted_pK(driver) ? uniform(random_, -pK_off, pK_off) : normal(random_);
}

double MakersBench::read(double ph) {
  return std::round(100 * (ph + bias_ + meter_noise * normal(random_))) / 100;
}

double MakersBench::weigh(double grams) {
  return std::max(0.0, grams + uniform(random_, -0.5, 0.5) * scale_g);
}

}  // namespace virtual_batch
