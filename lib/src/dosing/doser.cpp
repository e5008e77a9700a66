// SPDX-License-Identifier: MIT
#include "doser.hpp"

#include <algorithm>
#include <cmath>

namespace counterion {

Doser::Doser(const Batch& batch, const Adjuster& adjuster, const Tables& tables)
    : batch_(batch),
      adjuster_(adjuster),
      tables_(tables),
      material_(material_of(adjuster.ingredient, tables)),
      addition_(addition_of(material_, batch.phase, tables)) {
  const FormulaItem* water = water_of(batch.formula);
  replaceable_ = water ? water->percent / batch.phase.water_percent * 1000 : 0;
  take_from_water(replaceable_ > 0);
}

void Doser::take_from_water(bool from_water) {
  from_water_ = from_water;
  const double stock_water = (1 - share()) / share();
  addition_.water_kg = (material_.water_g_per_g + (from_water ? -1.0 : stock_water)) / 1000;
}

/// Grams of ingredient per kg of the phase's water.
std::optional<double> Doser::first_grams(double ph, double hidden_charge) const {
  chemistry::Mixture base = batch_.phase.mixture;
  if (hidden_charge != 0) base.add_strong_charge(hidden_charge);
  return chemistry::with_model(model_choice(batch_.phase.conditions), [&](const auto& model) {
    return chemistry::amount_holding(std::pow(10.0, -ph), base, addition_, batch_.phase.water,
                                     model, most());
  });
}

double Doser::ph_with(double grams) const {
  const auto mixture = chemistry::with_addition(batch_.phase.mixture, addition_, grams);
  return chemistry::with_model(model_choice(batch_.phase.conditions), [&](const auto& model) {
    return -chemistry::solve(mixture, batch_.phase.water, model).x / chemistry::ln10;
  });
}

double Doser::end() const {
  return ph_with(most());
}

double Doser::percent_of(double grams) const {
  const double per_100 = grams * batch_.phase.water_percent / 1000 / share();
  return from_water_ ? per_100 : 100 * per_100 / (100 + per_100);
}

double Doser::ph_with_share(const ExactDose& dose, double share) const {
  const double percent = share * dose.percent;
  const double per_100 = from_water_ ? percent : 100 * percent / (100 - percent);
  return ph_with(per_100 * this->share() * 1000 / batch_.phase.water_percent);
}

Formula Doser::with(const ExactDose& dose) const {
  return with_adjuster(batch_.formula, adjuster_, dose.percent, dose.from_water, tables_);
}

std::optional<WaterPhase> Doser::phase_with(const ExactDose& dose, Sureness sureness) const {
  return batch_.knowledge.phase_of(with(dose), tables_, batch_.phase.conditions, sureness);
}

/// The pH of the formula with it, or no number where nothing is left of the water.
double Doser::ph_with(const ExactDose& dose, double hidden_charge) {
  last_ = phase_with(dose, Sureness::left_aside);
  if (!last_) return std::numeric_limits<double>::quiet_NaN();
  if (hidden_charge != 0)
    last_->mixture.add_strong_charge(hidden_charge * batch_.phase.water_percent /
                                     last_->water_percent);
  return ph_of(*last_);
}

/// Slope of the pH by grams of the ingredient, the phase's surroundings left as they are.
double Doser::ph_per_gram(double grams) const {
  constexpr double step = 1e-3;
  return (ph_with(grams * (1 + step)) - ph_with(grams * (1 - step))) / (2 * step * grams);
}

/// An adjuster that takes much water's place leaves glycols and oil weighing more in what is left,
/// which the sums for the first gram do not know: secants on the formula itself, the first along
/// the slope of those sums.
std::optional<ExactDose> Doser::refined(double grams, double ph, double hidden_charge) {
  constexpr int passes = 40;
  constexpr double close = 2e-8, most_percent = 99.9;
  ExactDose dose{percent_of(grams), from_water_, ph_per_gram(grams) * grams / percent_of(grams)};
  double last = dose.percent, last_miss = 0;
  for (int pass = 0; pass < passes; ++pass) {
    const double miss = ph_with(dose, hidden_charge) - ph;
    if (!std::isfinite(miss)) return std::nullopt;
    const double slope = (miss - last_miss) / (dose.percent - last);
    if (pass > 0 && slope * dose.ph_per_percent > 0) dose.ph_per_percent = slope;
    const double step = -miss / dose.ph_per_percent;
    last_miss = miss;
    if (std::abs(miss) < close || std::abs(step) < 1e-14 * dose.percent) break;
    last = dose.percent;
    dose.percent = std::clamp(dose.percent + step, 0.3 * last, std::min(3 * last, most_percent));
    if (dose.percent == last) break;
  }
  return std::abs(last_miss) < 1e-7 ? std::optional(dose) : std::nullopt;
}

std::optional<ExactDose> Doser::dose(double ph, double hidden_charge) {
  auto grams = first_grams(ph, hidden_charge);
  if (!grams && from_water_) {
    take_from_water(false);
    grams = first_grams(ph, hidden_charge);
    if (!grams) take_from_water(replaceable_ > 0);
  }
  if (!grams) return std::nullopt;
  if (!(*grams > 0)) return ExactDose{0, from_water_, 0};
  return refined(*grams, ph, hidden_charge);
}

std::optional<ExactDose> exact_dose(const Batch& batch, double ph, const Adjuster& adjuster,
                                    const Tables& tables, double hidden_charge) {
  return Doser(batch, adjuster, tables).dose(ph, hidden_charge);
}

double stock_grams(const Formula& formula, const ExactDose& dose) {
  const double share = dose.percent / 100;
  return formula.batch_g * (dose.from_water ? share : share / (1 - share));
}

}  // namespace counterion
