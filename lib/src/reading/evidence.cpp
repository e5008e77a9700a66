// SPDX-License-Identifier: MIT
#include "evidence.hpp"

#include <counterion/batch/moved_phase.hpp>
#include <counterion/reading/measurement.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

using Vector = std::vector<double>;
using Matrix = std::vector<Vector>;

constexpr double log_2pi = 1.8378770664093453;
constexpr double impossible = -1e9;

double repeatability(const Tables& tables) {
  for (const auto& row : tables.levels_of("batch"))
    if (row.kind == "reading-repeatability" && row.rank == 1) return row.value;
  return 0.03;
}

/// Log of a normal density with mean 0.
double log_normal_density(const Vector& x, Matrix S) {
  double log_density = -0.5 * static_cast<double>(x.size()) * log_2pi;
  Vector y = x;
  for (std::size_t i = 0; i < S.size(); ++i) {  // S becomes its lower triangle L, y becomes L⁻¹ x
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = S[i][j];
      for (std::size_t k = 0; k < j; ++k) sum -= S[i][k] * S[j][k];
      if (i != j) {
        S[i][j] = sum / S[j][j];
        y[i] -= S[i][j] * y[j];
      } else {
        S[i][i] = std::sqrt(std::max(sum, 1e-300));
        y[i] /= S[i][i];
      }
    }
    log_density -= std::log(S[i][i]) + 0.5 * y[i] * y[i];
  }
  return log_density;
}

/// The adjuster lines behind those of the formula, in the order of `with_portions`.
std::vector<Adjuster> adjusters_of(std::span<const BatchReading> readings) {
  std::vector<Adjuster> all;
  for (const auto& reading : readings)
    for (const auto& portion : reading.added)
      if (!std::ranges::count(all, portion.adjuster)) all.push_back(portion.adjuster);
  return all;
}

}  // namespace

Evidence::Evidence(const Formula& formula, std::span<const BatchReading> readings,
                   const Tables& tables, const Circumstances& circumstances)
    : formula_(formula),
      readings_(readings.begin(), readings.end()),
      tables_(tables),
      circumstances_(circumstances),
      repeatability_ph_(std::max(repeatability(tables), 0.3 * circumstances.bench.meter_ph) /
                        deviates_to_end) {
  const auto phases = phases_with({});
  if (phases.empty()) return;
  as_written_ = charges_of(phases, readings_);
}

std::vector<WaterPhase> Evidence::phases_with(const Variation& variation) const {
  const Formula formula = varied(formula_, variation);
  const auto readings = varied(readings_, variation);
  try {
    auto phases = phases_as_read(formula, readings, tables_, circumstances_.conditions,
                                 circumstances_.bench, &frame_);
    for (auto& phase : phases) vary(phase, variation);
    return phases;
  } catch (const BadInput&) {
    return {};  // the slip would leave no water
  }
}

Evidence::Charges Evidence::charges_of(std::span<const WaterPhase> phases,
                                       std::span<const BatchReading> readings) const {
  Charges charges;
  for (std::size_t n = 0; n < phases.size(); ++n) {
    ReadingCharge one{charge_by_line_at(phases[n], readings[n].ph), 0, 0};
    one.water_ions = one.charge - std::accumulate(one.items.begin(), one.items.end(), 0.0);
    for (std::size_t d = 0; d < phases[n].drivers.size(); ++d) {
      const Driver& driver = phases[n].drivers[d];
      if (driver.kind == DriverKind::meter)
        one.ends[d] = {one.capacity * driver.low, one.capacity * driver.high};
      if (driver.kind == DriverKind::activity_model)
        one.water_error = std::max(0.0, one.capacity * driver.high - std::abs(one.ends[d][1]));
    }
    charges.push_back(std::move(one));
  }
  return charges;
}

/// The charge at a reading of the portions that a variation is about.
double Evidence::portion_charge(std::size_t n, const Variation& variation) const {
  if (variation.portions == 1 && variation.portions_spread == 0) return 0;
  const auto adjusters = adjusters_of(readings_);
  Vector grams(adjusters.size(), 0.0), changed(adjusters.size(), 0.0);
  std::size_t last = readings_.size();
  for (std::size_t i = 0; i < readings_.size(); ++i)
    if (!readings_[i].added.empty()) last = i;
  for (std::size_t i = 0; i <= n; ++i)
    for (const auto& portion : readings_[i].added) {
      const auto a = static_cast<std::size_t>(std::ranges::find(adjusters, portion.adjuster) -
                                              adjusters.begin());
      grams[a] += portion.grams;
      if (!variation.last_portion_only || i == last) changed[a] += portion.grams;
    }
  double charge = 0;
  for (std::size_t a = 0; a < adjusters.size(); ++a)
    if (grams[a] > 0)
      charge += changed[a] / grams[a] * as_written_[n].items.at(formula_.items.size() + 2 * a + 1);
  return charge;
}

bool Evidence::can_be_screened(const Variation& variation) {
  const bool another = std::ranges::any_of(
      variation.lines, [](const Variation::Line& line) { return !line.ingredient.empty(); });
  return !another && variation.carbonate_mol_per_kg == 0 && variation.alkali_mol_per_kg == 0 &&
         !variation.celsius && !variation.dilution && !variation.age_days;
}

Vector Evidence::residuals(const Charges& charges, const Variation& variation) const {
  Vector residuals;
  for (std::size_t n = 0; n < charges.size(); ++n) {
    double charge = charges[n].charge + (variation.portions - 1) * portion_charge(n, variation);
    for (const auto& line : variation.lines)
      charge += (line.factor - 1) * charges[n].items.at(line.item);
    const double water = charges[n].water_ions;
    residuals.push_back(water + (charge - water) / variation.water_left);
  }
  return residuals;
}

double Evidence::log_screened(const Variation& variation) const {
  if (variation.any_batch) return log_any_batch();
  return log_normal(as_written_, residuals(as_written_, variation), variation);
}

double Evidence::log_density(const Variation& variation) const {
  if (variation.any_batch) return log_any_batch();
  const auto phases = phases_with(variation);
  if (phases.empty()) return impossible;
  const auto readings = varied(readings_, variation);
  const Charges charges = charges_of(phases, readings);
  Vector residuals;
  for (const auto& one : charges) residuals.push_back(one.charge);
  return log_normal(charges, residuals, variation);
}

/// The pH of skin-care products (assumption): 6 ± 1.4.
double Evidence::log_any_batch() const {
  constexpr double middle = 6, deviation = 1.4;
  double sum = 0;
  for (const auto& reading : readings_)
    sum -=
        0.5 * std::pow((reading.ph - middle) / deviation, 2) + std::log(deviation) + 0.5 * log_2pi;
  return sum;
}

namespace {

/// The end of a driver that makes up for residuals: 0 low, 1 high.
template <class Charges>
std::size_t helpful_end(const Charges& charges, const Vector& residuals, std::size_t driver) {
  std::array<double, 2> along{};
  for (std::size_t n = 0; n < charges.size(); ++n)
    for (std::size_t end = 0; end < 2; ++end)
      along[end] +=
          residuals[n] * charges[n].ends[driver][end] / (charges[n].capacity * charges[n].capacity);
  return along[0] < along[1] ? 0 : 1;
}

}  // namespace

double Evidence::log_normal(const Charges& charges, const Vector& residuals,
                            const Variation& variation) const {
  const std::size_t count = charges.size();
  Matrix S(count, Vector(count, 0.0));
  const auto add_column = [&](const auto& column) {
    for (std::size_t i = 0; i < count; ++i)
      for (std::size_t j = 0; j <= i; ++j) S[i][j] += column(i) * column(j);
  };
  for (std::size_t d = 0; d < charges.front().ends.size(); ++d) {
    const std::size_t end = helpful_end(charges, residuals, d);
    add_column([&](std::size_t n) { return charges[n].ends[d][end] / deviates_to_end; });
  }
  add_column([&](std::size_t n) { return charges[n].capacity * variation.bias_ph; });
  add_column([&](std::size_t) { return variation.loose_charge_mol_per_kg; });
  if (variation.portions_spread > 0)
    add_column(
        [&](std::size_t n) { return variation.portions_spread * portion_charge(n, variation); });
  for (const auto& line : variation.lines)
    if (line.spread > 0)
      add_column([&](std::size_t n) { return line.spread * as_written_[n].items.at(line.item); });
  double log_capacities = 0;
  for (std::size_t n = 0; n < count; ++n) {
    const double own = readings_[n].half_ph.value_or(0) / deviates_to_end;
    const double noise = std::hypot(repeatability_ph_, own, variation.noise_ph);
    S[n][n] += std::pow(std::max(1e-12, charges[n].capacity * noise), 2) +
               std::pow(charges[n].water_error / deviates_to_end, 2);
    log_capacities += std::log(std::max(1e-12, charges[n].capacity));
  }
  return log_normal_density(residuals, std::move(S)) + log_capacities;
}

double Evidence::spread_charge(std::size_t n, const Variation& variation) const {
  double sum = variation.loose_charge_mol_per_kg +
               std::abs(variation.portions_spread * portion_charge(n, variation));
  for (const auto& line : variation.lines)
    sum += std::abs(line.spread * as_written_[n].items.at(line.item));
  return sum;
}

double Evidence::reach(const Variation& variation) const {
  if (variation.any_batch || variation.bias_ph > 0 || variation.noise_ph > 0) return 14;
  const Vector changed = residuals(as_written_, variation);
  double most = 0;
  for (std::size_t n = 0; n < changed.size(); ++n)
    most = std::max(most,
                    (std::abs(changed[n] - as_written_[n].charge) + spread_charge(n, variation)) /
                        as_written_[n].capacity);
  return most;
}

std::optional<double> Evidence::last_ph(const Variation& variation) const {
  const auto phases = phases_with(variation);
  if (phases.empty()) return std::nullopt;
  const double ph = ph_of(phases.back());
  return variation.celsius ? shown_without_compensation(ph, *variation.celsius, 25) : ph;
}

double Evidence::surprise() const {
  const std::vector<ReadingCharge> last{as_written_.back()};
  const double residual = last.front().charge, C = last.front().capacity;
  double square =
      std::pow(C * repeatability_ph_, 2) + std::pow(last.front().water_error / deviates_to_end, 2);
  for (std::size_t d = 0; d < last.front().ends.size(); ++d)
    square += std::pow(last.front().ends[d][helpful_end(last, {residual}, d)] / deviates_to_end, 2);
  return -residual / std::sqrt(square);
}

}  // namespace counterion
