// SPDX-License-Identifier: MIT
// The balance solved for an amount: at a given pH it is linear in what is added.
#pragma once

#include <counterion/chemistry/solve.hpp>

namespace counterion::chemistry {

/// Something added, per unit of itself: what it brings, and kilograms of water (negative where it
/// takes the place of water).
struct Addition {
  Mixture brings;
  double water_kg = 0;
};

/// One kilogram of water's worth of `base`, with `amount` units of an addition in it.
inline Mixture with_addition(const Mixture& base, const Addition& addition, double amount) {
  const double water = 1 + amount * addition.water_kg;
  Mixture sum = base;
  const auto scale = [water](double a, double b) { return (a + b) / water; };
  const Mixture& more = addition.brings;
  for (auto& part : sum.protolytes) part.molality /= water;
  for (const auto& part : more.protolytes)
    sum.protolytes.push_back({part.molality * amount / water, part.ladder});
  sum.strong_charge = scale(sum.strong_charge, amount * more.strong_charge);
  sum.strong_ionic = scale(sum.strong_ionic, amount * more.strong_ionic);
  sum.inert_solutes = scale(sum.inert_solutes, amount * more.inert_solutes);
  return sum;
}

/// Charge (moles) and ionic strength (moles of ½ z²) of the protolytes and ions of a mixture.
struct Sums {
  double charge = 0, ionic = 0;

  template <class Policy>
  Sums(const Mixture& mixture, double h, const Policy& gamma)
      : charge(mixture.strong_charge), ionic(mixture.strong_ionic) {
    for (const auto& part : mixture.protolytes) {
      const MeanCharge mean = mean_charge(part.ladder, h, gamma);
      charge += part.molality * mean.z;
      ionic += 0.5 * part.molality * mean.z2;
    }
  }
};

/// The amount of an addition (units per kg of the base's water) that holds hydrogen-ion activity h.
template <class Model>
class DoseSolver {
 public:
  DoseSolver(const Mixture& base, const Addition& addition, const Water& water, const Model& model,
             double h, double most)
      : base_(base), addition_(addition), water_(water), model_(model), h_(h), most_(most) {}

  /// Empty where no amount between 0 and `most` does it.
  std::optional<double> amount() {
    const double u = consistent_sqrt_ionic([this](double v) { return excess(v); });
    const double x = amount_at(u);
    if (x >= 0 && x < most_ && closes(x, u)) return x;
    return bracketed_amount();
  }

 private:
  /// I(u) - u² with the amount that closes the charge at this u.
  double excess(double u) {
    const double x = std::clamp(amount_at(u), 0.0, most_);
    const double water = 1 + x * addition_.water_kg;
    const auto gamma = model_.at(u);
    const Sums base(base_, h_, gamma), more(addition_.brings, h_, gamma);
    const WaterIons ions = free_ions(x, gamma);
    return (base.ionic + x * more.ionic) / water + 0.5 * (ions.H + ions.OH) - u * u;
  }
  /// Linear in the amount but for the water activity, which a few of Steffensen's passes settle.
  double amount_at(double u) {
    const auto gamma = model_.at(u);
    const Sums base(base_, h_, gamma), more(addition_.brings, h_, gamma);
    const auto next = [&](double x) {
      const WaterIons ions = free_ions(std::clamp(x, 0.0, most_), gamma);
      const double free = ions.H - ions.OH;
      return -(base.charge + free) / (more.charge + addition_.water_kg * free);
    };
    double x = 0;
    for (int pass = 0; pass < 12; ++pass) {
      const double once = next(x), twice = next(once), bend = twice - 2 * once + x;
      const double change = bend == 0 ? twice - x : -(once - x) * (once - x) / bend;
      if (!std::isfinite(change)) break;
      x += change;
      if (!(std::abs(change) > 1e-15 * std::abs(x))) break;
    }
    return x;
  }
  /// Whether charge and ionic strength agree; next to its own pH an addition hardly moves the charge.
  bool closes(double x, double u) {
    const auto gamma = model_.at(u);
    const Sums base(base_, h_, gamma), more(addition_.brings, h_, gamma);
    const WaterIons ions = free_ions(x, gamma);
    const double water = 1 + x * addition_.water_kg;
    const double charge = base.charge + x * more.charge + water * (ions.H - ions.OH);
    const double scale = base_.charge_scale() + x * addition_.brings.charge_scale() +
                         water * (ions.H + ions.OH);
    return std::abs(charge) <= 1e-14 * scale && std::abs(excess(u)) <= 1e-12 * (1 + u * u);
  }
  /// The slow way: the pH is followed along the amount, where the target lies between the ends.
  std::optional<double> bracketed_amount() const {
    const auto miss = [this, target = std::log(h_)](double x) {
      return solve(with_addition(base_, addition_, x), water_, model_).x - target;
    };
    if (!(miss(0) * miss(most_) <= 0)) return std::nullopt;
    return bracketed_root(miss, 0.0, most_);
  }
  template <class Policy>
  WaterIons free_ions(double x, const Policy& gamma) const {
    const double water = 1 + x * addition_.water_kg;
    const double solutes = (base_.solutes() + x * addition_.brings.solutes()) / water;
    return water_ions(Solvent(water_, solutes), h_, gamma);
  }

  const Mixture& base_;
  const Addition& addition_;
  const Water& water_;
  const Model& model_;
  double h_, most_;
};

}  // namespace counterion::chemistry
