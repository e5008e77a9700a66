// SPDX-License-Identifier: MIT
#include <counterion/batch/prediction.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

using chemistry::ln10;

/// Lowest and highest deviation of the charge that one driver can cause.
struct Deviation {
  double low = 0, high = 0;
  Deviation(double a, double b) : low(std::min({a, b, 0.0})), high(std::max({a, b, 0.0})) {}
};

/// The phase seen at one hydrogen-ion activity, the ionic strength having been found.
template <class Policy>
class PhaseAt {
 public:
  PhaseAt(const WaterPhase& phase, double h, const Policy& gamma)
      : phase_(phase), h_(h), gamma_(gamma) {
    for (const auto& part : phase.mixture.protolytes) z_.push_back(z(part.ladder));
  }
  Deviation deviation(const Driver& driver) const {
    switch (driver.kind) {
      case DriverKind::content: {
        const double z = charge_of(phase_.parts[driver.subject]);
        return {driver.low * z, driver.high * z};
      }
      case DriverKind::constant: return {shifted(driver, driver.low), shifted(driver, driver.high)};
      case DriverKind::carbon_dioxide: return {carbonate(driver), 0};
      case DriverKind::residual_charge: break;
    }
    return {driver.low, driver.high};
  }
  /// Charge of one mole of a part at this pH.
  double charge_of(const WaterPhase::Part& part) const {
    double charge = part.strong_charge_per_mol;
    for (const auto& [k, mol] : part.protolytes) charge += mol * z_[k];
    return charge;
  }

 private:
  double z(const chemistry::Ladder& ladder) const {
    return chemistry::mean_charge(ladder, h_, gamma_).z;
  }
  double shifted(const Driver& driver, double by) const {
    const auto& part = phase_.mixture.protolytes[driver.subject];
    chemistry::Ladder moved = part.ladder;
    moved.K[driver.step] *= std::pow(10.0, -by);
    return part.molality * (z(moved) - z_[driver.subject]);
  }
  /// Charge of the carbonates that air brings, between none and equilibrium with it, or as much as a
  /// batch takes up while it is made (driver.high).
  double carbonate(const Driver& driver) const {
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    const chemistry::Ladder ladder(phase_.carbonic_acid, kelvin);
    const double neutral = chemistry::shares(ladder, h_, gamma_).front();
    return std::min(-driver.low / neutral, driver.high) * z(ladder);
  }

  const WaterPhase& phase_;
  double h_;
  const Policy& gamma_;
  std::vector<double> z_;
};

template <class Policy>
ChargeSpread spread_of(const WaterPhase& phase, double h, const Policy& gamma) {
  const PhaseAt<Policy> at(phase, h, gamma);
  double below = 0, above = 0;
  for (const auto& driver : phase.drivers) {
    const Deviation deviation = at.deviation(driver);
    below += deviation.low * deviation.low;
    above += deviation.high * deviation.high;
  }
  return {std::sqrt(below), std::sqrt(above)};
}

/// The activity model's own error, a 90 % half width in pH units (assumption): small inside its range
/// (standard buffers come out within 0.02), growing with ionic strength; beyond 0.5 mol/kg real
/// solutions, of phosphates above all, read lower than the model says.
struct ModelError {
  double below, above;
  explicit ModelError(double I)
      : below(0.02 + 0.1 * std::min(I, 0.5) + 0.4 * std::clamp((I - 0.5) / 0.5, 0.0, 1.0)),
        above(0.02 + 0.1 * std::min(I, 1.0)) {}
};

/// Work on one phase with one activity model.
template <class Model>
class Predictor {
 public:
  Predictor(const WaterPhase& phase, const Model& model)
      : phase_(phase), model_(model), solvent_(phase.water, phase.mixture.solutes()) {}

  Prediction predict(std::size_t most_drivers) const {
    const chemistry::Root root = chemistry::solve(phase_.mixture, phase_.water, model_);
    Prediction result;
    result.ph = -root.x / ln10;
    result.ionic_strength = root.u * root.u;
    result.buffer_capacity = chemistry::buffer_capacity(
        balance(phase_.mixture, solvent_, std::exp(root.x), model_.at(root.u)), root.u);
    result.water_percent = phase_.water_percent;
    add_interval(root, result);
    add_charges(root, result);
    add_drivers(root, most_drivers, result);
    return result;
  }
  ChargeSpread spread_at(double x) const {
    const double h = std::exp(x);
    return spread_of(phase_, h, model_.at(chemistry::sqrt_ionic_at(phase_.mixture, solvent_, model_, h)));
  }

 private:
  /// x where `charge`, which rises with x, is nothing; side +1 looks towards the higher pH.
  template <class Charge>
  static double end(const Charge& charge, double x_middle, int side) {
    if (side * charge(x_middle) <= 0) return x_middle;
    double far = x_middle;
    do far -= side * ln10;
    while (side * charge(far) > 0 && std::abs(far - x_middle) < 16 * ln10);
    if (side * charge(far) > 0) return far;
    return side > 0 ? chemistry::bracketed_root(charge, far, x_middle)
                    : chemistry::bracketed_root(charge, x_middle, far);
  }
  /// End of the interval with all drivers to one side.
  double end_of_all(double x_middle, int side) const {
    return end(
        [&](double x) {
          const double h = std::exp(x);
          const auto gamma = model_.at(chemistry::sqrt_ionic_at(phase_.mixture, solvent_, model_, h));
          const ChargeSpread spread = spread_of(phase_, h, gamma);
          return balance(phase_.mixture, solvent_, h, gamma).charge() +
                 (side > 0 ? spread.above : -spread.below);
        },
        x_middle, side);
  }
  /// End with one driver alone; the ionic strength stays that of the middle.
  double end_of_one(const Driver& driver, const chemistry::Root& root, int side) const {
    const auto gamma = model_.at(root.u);
    return end(
        [&](double x) {
          const double h = std::exp(x);
          const Deviation deviation = PhaseAt(phase_, h, gamma).deviation(driver);
          return balance(phase_.mixture, solvent_, h, gamma).charge() +
                 (side > 0 ? deviation.high : deviation.low);
        },
        root.x, side);
  }
  void add_interval(const chemistry::Root& root, Prediction& result) const {
    const ModelError model(result.ionic_strength);
    const double low = result.ph + end_of_all(root.x, -1) / ln10, high = -end_of_all(root.x, 1) / ln10 - result.ph;
    result.p05 = result.ph - std::hypot(low, model.below);
    result.p95 = result.ph + std::hypot(high, model.above);
  }
  void add_charges(const chemistry::Root& root, Prediction& result) const {
    const auto gamma = model_.at(root.u);
    const PhaseAt at(phase_, std::exp(root.x), gamma);
    const double per_kg_formula = phase_.water_percent / 100 * 1000;
    for (const double charge : phase_.residual_mol_per_kg)
      result.charge_meq_per_kg.push_back(charge * per_kg_formula);
    for (const auto& part : phase_.parts)
      result.charge_meq_per_kg[part.item] += part.molality * at.charge_of(part) * per_kg_formula;
  }
  void add_drivers(const chemistry::Root& root, std::size_t most, Prediction& result) const {
    const auto gamma = model_.at(root.u);
    const PhaseAt at(phase_, std::exp(root.x), gamma);
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < phase_.drivers.size(); ++i) {
      const Deviation d = at.deviation(phase_.drivers[i]);
      if (d.high > d.low) order.emplace_back(d.high - d.low, i);
    }
    std::sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    if (order.size() > most) order.resize(most);
    for (const auto& [width, i] : order) {
      const Driver& driver = phase_.drivers[i];
      result.drivers.push_back({driver.item, driver.what, driver.source, driver.row_id,
                                -end_of_one(driver, root, -1) / ln10,
                                -end_of_one(driver, root, 1) / ln10});
    }
  }

  const WaterPhase& phase_;
  const Model& model_;
  chemistry::Solvent solvent_;
};

template <class Work>
decltype(auto) with_model_of(const WaterPhase& phase, Work&& work) {
  return chemistry::with_model(phase.conditions.activity, phase.water,
                               in_mol_per_kg(phase.conditions.davies_held_beyond),
                               std::forward<Work>(work));
}

}  // namespace

Prediction predict(const WaterPhase& phase, std::size_t most_drivers) {
  Prediction result = with_model_of(phase, [&](const auto& model) {
    return Predictor(phase, model).predict(most_drivers);
  });
  const Validity validity = validity_at(mol_per_kg(result.ionic_strength), phase.conditions.activity);
  result.activity_within_range = validity.within_range;
  result.validity = validity.reason;
  return result;
}

ChargeSpread charge_spread_at(const WaterPhase& phase, double ph) {
  return with_model_of(phase, [&](const auto& model) {
    return Predictor(phase, model).spread_at(-ph * ln10);
  });
}

}  // namespace counterion
