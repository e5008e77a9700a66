// SPDX-License-Identifier: MIT
#include <counterion/batch/prediction.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

using chemistry::ln10;

/// Lowest and highest deviation of the charge that one driver can cause, and half of what lies between its ends.
struct Deviation {
  double low = 0, high = 0, slope = 0;
  Deviation(double a, double b)
      : low(std::min({a, b, 0.0})), high(std::max({a, b, 0.0})), slope(0.5 * (b - a)) {}
};

/// The phase seen at one hydrogen-ion activity, the ionic strength having been found.
template <class Policy>
class PhaseAt {
 public:
  PhaseAt(const WaterPhase& phase, const chemistry::Mixture& mixture, double h, const Policy& gamma)
      : phase_(phase), mixture_(mixture), h_(h), gamma_(gamma) {
    charge_.reserve(mixture.protolytes.size()), z_.reserve(mixture.protolytes.size());
    for (const auto& part : mixture.protolytes) {
      const chemistry::Contribution in_play = contribution(part, h, gamma);
      charge_.push_back(in_play.molality * in_play.mean.z);
      z_.push_back(part.molality > 0 ? charge_.back() / part.molality : in_play.mean.z);
    }
  }
  Deviation deviation(const Driver& driver) const {
    const auto [low, high] = ends(driver);
    return {low, high};
  }
  /// What the charge changes by with a driver at the low and at the high end of its interval.
  std::array<double, 2> ends(const Driver& driver) const {
    switch (driver.kind) {
      case DriverKind::content:
      case DriverKind::progress: {
        const double z = charge_of(phase_.parts[driver.subject]) + driver.tied_charge;
        return {driver.low * z, driver.high * z};
      }
      case DriverKind::constant: return {shifted(driver, driver.low), shifted(driver, driver.high)};
      case DriverKind::polymer_constant: return {sites(driver, driver.low), sites(driver, driver.high)};
      case DriverKind::partition: return {shared(driver, driver.low), shared(driver, driver.high)};
      case DriverKind::carbon_dioxide: return {carbonate(driver), 0};
      case DriverKind::solubility: return {dissolved(driver, driver.low), dissolved(driver, driver.high)};
      case DriverKind::portion: {
        const double charge = charge_of_item(*driver.item);
        return {driver.low * charge, driver.high * charge};
      }
      case DriverKind::unlisted_buffer: {
        const double z = z_[driver.subject] + driver.tied_charge;
        return {driver.low * z, driver.high * z};
      }
      case DriverKind::activity_model: return {driver.low * capacity_of_solutes(), driver.high * capacity_of_solutes()};
      case DriverKind::meter: return {0, 0};
      case DriverKind::residual_charge:
      case DriverKind::unlisted_charge: break;
    }
    return {driver.low, driver.high};
  }
  /// Charge of one mole of a part at this pH.
  double charge_of(const WaterPhase::Part& part) const {
    double charge = part.strong_charge_per_mol;
    for (const auto& [k, mol] : part.protolytes) charge += mol * z_[k];
    for (const auto& [k, mol] : part.polymers) charge -= mol * ionised(mixture_.polymers[k].polymer);
    return charge;
  }

  /// Charge of a line of the formula at this pH.
  double charge_of_item(std::size_t item) const {
    double charge = phase_.residual_mol_per_kg[item];
    for (const auto& part : phase_.parts)
      if (part.item == item) charge += part.molality * charge_of(part);
    return charge;
  }
  /// Charge per unit of pH, mol/kg.
  double capacity() const {
    const chemistry::Solvent solvent(phase_.water, mixture_);
    return ln10 * balance(mixture_, solvent, h_, gamma_).charge_by_x();
  }

 private:
  /// The same without water's own ions, which no pK moves.
  double capacity_of_solutes() const {
    const auto ions = chemistry::water_ions(chemistry::Solvent(phase_.water, mixture_), h_, gamma_);
    return capacity() - ln10 * (ions.H + ions.OH);
  }
  double ionised(const AcidPolymer& polymer) const {
    return chemistry::ionisation(polymer, std::log(h_), gamma_.sqrt_ionic(), phase_.water).ionised;
  }
  double sites(const Driver& driver, double by) const {
    const auto& part = mixture_.polymers[driver.subject];
    AcidPolymer moved = part.polymer;
    moved.pK0 += by;
    return part.molality * (ionised(part.polymer) - ionised(moved));
  }
  double change_to(std::size_t k, const chemistry::Dissolved& moved) const {
    const chemistry::Contribution in_play = contribution(moved, h_, gamma_);
    return in_play.molality * in_play.mean.z - charge_[k];
  }
  double shifted(const Driver& driver, double by) const {
    chemistry::Dissolved moved = mixture_.protolytes[driver.subject];
    moved.ladder.K[driver.step] *= std::pow(10.0, -by);
    return change_to(driver.subject, moved);
  }
  double dissolved(const Driver& driver, double by) const {
    chemistry::Dissolved moved = mixture_.protolytes[driver.subject];
    moved.neutral.solubility += by;
    return change_to(driver.subject, moved);
  }
  double shared(const Driver& driver, double by) const {
    chemistry::Dissolved moved = mixture_.protolytes[driver.subject];
    moved.neutral.elsewhere *= std::pow(10.0, by);
    moved.neutral.paired *= std::pow(10.0, 2 * by);
    return change_to(driver.subject, moved);
  }
  /// What the charge changes by from a closed batch to one in equilibrium with air: it takes up carbonate,
  /// at most what a batch does while it is made (driver.high), or loses what was put in.
  double carbonate(const Driver& driver) const {
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    const chemistry::Ladder ladder(phase_.carbonic_acid, kelvin);
    const double neutral = chemistry::shares(ladder, h_, gamma_).front();
    const auto put_in = phase_.protolyte("carbonic-acid");
    const double closed = put_in ? mixture_.protolytes[*put_in].molality : 0;
    const double open = std::min(-driver.low / neutral, closed + driver.high);
    return (open - closed) * chemistry::mean_charge(ladder, h_, gamma_).z;
  }

  const WaterPhase& phase_;
  const chemistry::Mixture& mixture_;
  double h_;
  const Policy& gamma_;
  std::vector<double> charge_, z_;
};

/// What is left of a spread by what readings have taught.
double left_of(const std::vector<double>& slopes, const std::vector<std::vector<double>>& learned) {
  double left = std::inner_product(slopes.begin(), slopes.end(), slopes.begin(), 0.0);
  for (const auto& direction : learned) {
    const double along = std::inner_product(slopes.begin(), slopes.end(), direction.begin(), 0.0);
    left -= along * along;
  }
  return std::sqrt(std::max(0.0, left));
}

template <class Policy>
ChargeSpread spread_of(const WaterPhase& phase, const chemistry::Mixture& mixture, double h,
                       const Policy& gamma) {
  const PhaseAt<Policy> at(phase, mixture, h, gamma);
  double below = 0, above = 0;
  std::vector<double> slopes;
  for (const auto& driver : phase.drivers) {
    const Deviation deviation = at.deviation(driver);
    below += deviation.low * deviation.low;
    above += deviation.high * deviation.high;
    if (!phase.learned.empty()) slopes.push_back(deviation.slope);
  }
  if (phase.learned.empty()) return {std::sqrt(below), std::sqrt(above)};
  const double left = left_of(slopes, phase.learned);
  return {left, left};
}

/// Dissolved in all, mol/kg; beyond, what has no charge can no longer be taken as ideal (assumption).
constexpr double most_solutes = 6;

/// The activity model's own error, a 90 % half width in pH units (assumption): small inside its range
/// (standard buffers come out within 0.02, recipes of handbooks within 0.1 or so), growing with ionic strength. Beyond Davies' range real
/// solutions, of phosphates above all, read lower than it says; with specific interactions the published
/// concentrated solutions come out within 0.1 or 0.2.
struct ModelError {
  double below = 0, above = 0;

  ModelError(bool ions_told_apart, double I, const WaterPhase& phase) {
    if (ions_told_apart) {
      below = above = 0.08 + 0.06 * std::min(I, 3.5) + (I > 3.5 ? 0.3 : 0);
    } else {
      below = 0.08 + 0.1 * std::min(I, 0.5) + 0.4 * std::clamp((I - 0.5) / 0.5, 0.0, 1.0);
      above = 0.08 + 0.1 * std::min(I, 1.0);
    }
    const double more = beside(phase);
    below += more, above += more;
  }

 private:
  /// Solvents move more than the pK; what is dissolved without charge is taken as ideal.
  static double beside(const WaterPhase& phase) {
    return 0.3 * phase.surroundings.solvent_fraction() +
           0.03 * std::max(0.0, phase.mixture.solutes() - most_solutes);
  }
};

template <class Model>
inline constexpr bool tells_ions_apart = std::is_same_v<Model, chemistry::SettledSpecificIonModel>;

/// Work on one phase with one activity model, which `Settled` has at hand.
template <class Settled>
class Predictor {
 public:
  Predictor(const WaterPhase& phase, const Settled& settled)
      : phase_(phase), mixture_(settled.mixture), model_(settled.model), root_(settled.root),
        solvent_(phase.water, phase.mixture),
        slope_(std::max(1e-12, chemistry::buffer_capacity(
                                   balance(mixture_, solvent_, std::exp(root_.x), model_.at(root_.u)), root_.u) / ln10)) {}

  Prediction predict(std::size_t most_drivers) const {
    Prediction result;
    result.ph = -root_.x / ln10;
    result.ionic_strength = root_.u * root_.u;
    result.buffer_capacity = slope_ * ln10;
    result.water_percent = phase_.water_percent;
    add_interval(root_, result);
    add_charges(root_, result);
    add_drivers(root_, most_drivers, result);
    return result;
  }
  ChargeSpread spread_at(double x) const {
    const double h = std::exp(x);
    return spread_of(phase_, mixture_, h, model_.at(chemistry::sqrt_ionic_at(mixture_, solvent_, model_, h)));
  }
  ChargeAt charge_at(double x) const {
    const double h = std::exp(x);
    const auto gamma = model_.at(chemistry::sqrt_ionic_at(mixture_, solvent_, model_, h));
    const PhaseAt at(phase_, mixture_, h, gamma);
    ChargeAt result{balance(mixture_, solvent_, h, gamma).charge(), at.capacity(), {}};
    for (const auto& driver : phase_.drivers) result.slopes.push_back(at.deviation(driver).slope);
    return result;
  }
  ChargeByLine charge_by_line_at(double x) const {
    const double h = std::exp(x);
    const auto gamma = model_.at(chemistry::sqrt_ionic_at(mixture_, solvent_, model_, h));
    const PhaseAt at(phase_, mixture_, h, gamma);
    ChargeByLine result{{balance(mixture_, solvent_, h, gamma).charge(), at.capacity(), {}}, phase_.residual_mol_per_kg, {}};
    for (const auto& part : phase_.parts) result.items[part.item] += part.molality * at.charge_of(part);
    for (const auto& driver : phase_.drivers) {
      result.ends.push_back(at.ends(driver));
      result.slopes.push_back(0.5 * (result.ends.back()[1] - result.ends.back()[0]));
    }
    return result;
  }

 private:
  /// x where `charge`, which rises with x, is nothing; side +1 looks towards the higher pH. The first step
  /// goes as far as the buffering in the middle says.
  template <class Charge>
  double end(const Charge& charge, double x_middle, int side) const {
    const double start = charge(x_middle);
    if (side * start <= 0) return x_middle;
    double step = std::clamp(1.2 * std::abs(start) / slope_, 0.02, ln10);
    double near = x_middle, near_charge = start, far = x_middle - side * step, far_charge = charge(far);
    while (side * far_charge > 0 && std::abs(far - x_middle) < 16 * ln10) {
      near = far, near_charge = far_charge;
      step = std::min(2 * step, ln10);
      far -= side * step, far_charge = charge(far);
    }
    return side * far_charge > 0 ? far : between(charge, near, near_charge, far, far_charge);
  }
  /// Root between two ends of opposite sign by regula falsi, the end that stays halved (Illinois), to a
  /// few millionths of a pH.
  template <class Charge>
  static double between(const Charge& charge, double near, double near_charge, double far, double far_charge) {
    constexpr double close = 1e-5;
    double last = far;
    for (int pass = 0; pass < 60; ++pass) {
      const double x = far - far_charge * (far - near) / (far_charge - near_charge);
      const double there = charge(x);
      if (there == 0 || std::abs(x - last) < close) return x;
      last = x;
      if ((there > 0) == (far_charge > 0)) near_charge *= 0.5;
      else near = far, near_charge = far_charge;
      far = x, far_charge = there;
    }
    return far;
  }
  /// End of the interval with all drivers to one side; the ionic strength stays that of the middle. Once a reading
  /// holds the middle, a spread that grows away from it is one of the buffering: the middle's own counts.
  double end_of_all(double x_middle, int side) const {
    const auto gamma = model_.at(root_.u);
    const auto spread_at = [&](double h) {
      const ChargeSpread spread = spread_of(phase_, mixture_, h, gamma);
      return side > 0 ? spread.above : -spread.below;
    };
    const bool held = !phase_.learned.empty();
    const double in_the_middle = held ? spread_at(std::exp(x_middle)) : 0;
    return end(
        [&](double x) {
          const double h = std::exp(x);
          return balance(mixture_, solvent_, h, gamma).charge() + (held ? in_the_middle : spread_at(h));
        },
        x_middle, side);
  }
  /// End with one driver alone; the ionic strength stays that of the middle.
  double end_of_one(const Driver& driver, const chemistry::Root& root, int side) const {
    const auto gamma = model_.at(root.u);
    return end(
        [&](double x) {
          const double h = std::exp(x);
          const Deviation deviation = PhaseAt(phase_, mixture_, h, gamma).deviation(driver);
          return balance(mixture_, solvent_, h, gamma).charge() +
                 (side > 0 ? deviation.high : deviation.low);
        },
        root.x, side);
  }
  void add_interval(const chemistry::Root& root, Prediction& result) const {
    const ModelError model(tells_ions_apart<std::decay_t<decltype(model_)>>, result.ionic_strength, phase_);
    const double low = result.ph + end_of_all(root.x, -1) / ln10, high = -end_of_all(root.x, 1) / ln10 - result.ph;
    if (!std::ranges::count(phase_.drivers, DriverKind::activity_model, &Driver::kind))
      result.model_below = model.below, result.model_above = model.above;
    result.p05 = result.ph - std::hypot(low, result.model_below);
    result.p95 = result.ph + std::hypot(high, result.model_above);
  }
  void add_charges(const chemistry::Root& root, Prediction& result) const {
    const auto gamma = model_.at(root.u);
    const PhaseAt at(phase_, mixture_, std::exp(root.x), gamma);
    const double per_kg_formula = phase_.water_percent / 100 * 1000;
    for (const double charge : phase_.residual_mol_per_kg)
      result.charge_meq_per_kg.push_back(charge * per_kg_formula);
    for (const auto& part : phase_.parts)
      result.charge_meq_per_kg[part.item] += part.molality * at.charge_of(part) * per_kg_formula;
  }
  void add_drivers(const chemistry::Root& root, std::size_t most, Prediction& result) const {
    const auto gamma = model_.at(root.u);
    const PhaseAt at(phase_, mixture_, std::exp(root.x), gamma);
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
  const chemistry::Mixture& mixture_;
  const decltype(Settled::model)& model_;
  chemistry::Root root_;
  chemistry::Solvent solvent_;
  double slope_;  ///< of the charge by ln h in the middle, mol/kg
};

template <class Work>
auto with_model_of(const WaterPhase& phase, Work&& work) {
  return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
    return work(chemistry::settle(phase.mixture, phase.water, model));
  });
}

}  // namespace

namespace {

/// Beyond the range of its model the interval also reaches what specific interactions say.
void widen_by_specific_ions(const WaterPhase& phase, Prediction& result) {
  const chemistry::SpecificIonModel model{phase.water, *phase.conditions.interactions};
  const auto settled = chemistry::settle(phase.mixture, phase.water, model);
  const Prediction other = Predictor(phase, settled).predict(0);
  result.p05 = std::min(result.p05, other.p05);
  result.p95 = std::max(result.p95, other.p95);
  result.model_below = std::max(result.model_below, result.ph - other.ph + other.model_below);
  result.model_above = std::max(result.model_above, other.ph - result.ph + other.model_above);
  result.validity += fmt::format("; with specific ion interactions it would be {:.2f}", other.ph);
}

/// Shares of alcohols and glycols in the liquid beyond which the shifts of pK are guesses (assumption).
constexpr double most_solvent = 0.45;

void judge_validity(const WaterPhase& phase, Prediction& result) {
  const Validity validity = validity_at(mol_per_kg(result.ionic_strength), phase.conditions.activity);
  result.activity_within_range = validity.within_range;
  result.validity = validity.reason;
  const bool specific = phase.conditions.activity == Activity::specific_ion || !phase.learned.empty();
  if (!validity.within_range && !specific && phase.conditions.interactions)
    widen_by_specific_ions(phase, result);
  const double solutes = phase.mixture.solutes();
  if (solutes > most_solutes) {
    result.activity_within_range = false;
    result.validity += fmt::format("{}{:.0f} mol/kg dissolved is much; what has no charge is taken as ideal",
                                   result.validity.empty() ? "" : "; ", solutes);
  }
  const double solvent = phase.surroundings.solvent_fraction();
  if (solvent <= most_solvent) return;
  result.activity_within_range = false;
  if (!result.validity.empty()) result.validity += "; ";
  result.validity += fmt::format("{:.0f} % of the liquid is alcohol or glycol: a meter set on buffers in "
                                 "water no longer reads what is computed for water", 100 * solvent);
}

/// Substances of which the water holds no more at the predicted pH.
void find_saturated(const WaterPhase& phase, Prediction& result) {
  with_model_of(phase, [&](const auto& settled) {
    const double h = std::exp(settled.root.x);
    const auto gamma = settled.model.at(settled.root.u);
    for (std::size_t k = 0; k < settled.mixture.protolytes.size(); ++k) {
      const auto& part = settled.mixture.protolytes[k];
      const auto in_play = contribution(part, h, gamma);
      if (!(in_play.free_neutral >= part.neutral.solubility)) continue;
      const double grams = phase.substances[k]->molar_mass_g_per_mol * phase.water_percent / 1000;
      result.saturated.push_back({std::string(phase.substances[k]->id),
                                  std::string(phase.substances[k]->name),
                                  (part.molality - in_play.molality) * grams,
                                  part.neutral.solubility * grams});
    }
  });
}

}  // namespace

Prediction predict(const WaterPhase& phase, std::size_t most_drivers) {
  Prediction result = with_model_of(phase, [&](const auto& settled) {
    return Predictor(phase, settled).predict(most_drivers);
  });
  judge_validity(phase, result);
  find_saturated(phase, result);
  return result;
}

double ph_of(const WaterPhase& phase) {
  return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
    return -chemistry::solve(phase.mixture, phase.water, model).x / ln10;
  });
}

PhaseState state_of(const WaterPhase& phase) {
  return with_model_of(phase, [&](const auto& settled) {
    const auto& root = settled.root;
    const chemistry::Solvent solvent(phase.water, phase.mixture);
    const auto at_root = balance(settled.mixture, solvent, std::exp(root.x), settled.model.at(root.u));
    return PhaseState{-root.x / ln10, root.u * root.u, chemistry::buffer_capacity(at_root, root.u)};
  });
}

ChargeSpread charge_spread_at(const WaterPhase& phase, double ph) {
  return with_model_of(phase, [&](const auto& settled) {
    return Predictor(phase, settled).spread_at(-ph * ln10);
  });
}

ChargeAt charge_at(const WaterPhase& phase, double ph) {
  return with_model_of(phase, [&](const auto& settled) { return Predictor(phase, settled).charge_at(-ph * ln10); });
}

ChargeByLine charge_by_line_at(const WaterPhase& phase, double ph) {
  return with_model_of(phase, [&](const auto& settled) {
    return Predictor(phase, settled).charge_by_line_at(-ph * ln10);
  });
}

std::vector<NeutralisedPolymer> neutralised_polymers(const WaterPhase& phase, const Prediction& prediction,
                                                     std::optional<double> target) {
  return with_model_of(phase, [&](const auto& settled) {
    const chemistry::Solvent solvent(phase.water, phase.mixture);
    const auto share = [&](const AcidPolymer& polymer, double ph) {
      const double u = sqrt_ionic_at(settled.mixture, solvent, settled.model, std::pow(10.0, -ph));
      return chemistry::ionisation(polymer, -ph * ln10, u, phase.water).ionised;
    };
    std::vector<NeutralisedPolymer> all;
    for (std::size_t k = 0; k < phase.polymer_substances.size(); ++k) {
      const auto& polymer = phase.mixture.polymers[k].polymer;
      all.push_back({std::string(phase.polymer_substances[k]->id),
                     std::string(phase.polymer_substances[k]->name),
                     share(polymer, prediction.ph),
                     target ? std::optional(share(polymer, *target)) : std::nullopt});
    }
    return all;
  });
}

std::optional<double> ph_where_neutralised(const WaterPhase& phase, double share) {
  if (phase.polymer_substances.empty() || !(share > 0 && share < 1)) return std::nullopt;
  return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) -> std::optional<double> {
    const auto with_base = [&](double base) {
      chemistry::Mixture mixture = phase.mixture;
      mixture.add_strong_charge(base);
      return chemistry::solve(mixture, phase.water, model);
    };
    const auto miss = [&](double base) {
      const auto root = with_base(base);
      return chemistry::ionisation(phase.mixture.polymers.front().polymer, root.x, root.u, phase.water).ionised - share;
    };
    const double most = 2 * (phase.mixture.charge_scale() + 0.1);
    if (!(miss(-most) * miss(most) < 0)) return std::nullopt;
    return -with_base(chemistry::bracketed_root(miss, -most, most)).x / ln10;
  });
}

}  // namespace counterion
