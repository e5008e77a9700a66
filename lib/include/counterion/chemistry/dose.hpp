// SPDX-License-Identifier: MIT
// The balance solved for an amount: at a given pH it is linear in what is added.
#pragma once

#include <counterion/chemistry/amount_newton.hpp>
#include <counterion/chemistry/specific_ion.hpp>

namespace counterion::chemistry {

/// Adds a part; where the neutral form has a limit, what is there of the same substance shares it.
inline void add_part(Mixture& mixture, Dissolved part) {
  if (part.neutral.is_limited())
    for (auto& known : mixture.protolytes)
      if (known.neutral == part.neutral && known.ladder == part.ladder) {
        known.molality += part.molality;
        return;
      }
  mixture.protolytes.push_back(std::move(part));
}

/// One kilogram of water's worth of `base`, with `amount` units of an addition in it.
inline Mixture with_addition(const Mixture& base, const Addition& addition, double amount) {
  const double water = 1 + amount * addition.water_kg;
  Mixture sum = base;
  const auto scale = [water](double a, double b) { return (a + b) / water; };
  const Mixture& more = addition.brings;
  for (auto& part : sum.protolytes) {
    part.molality /= water;
    part.neutral = part.neutral.in_more_water(water);
  }
  for (auto& part : sum.polymers) part.molality /= water;
  for (auto& ion : sum.ions) ion.molality /= water;
  for (const auto& part : more.protolytes)
    add_part(sum, {part.molality * amount / water, part.ladder, part.neutral.in_more_water(water)});
  for (const auto& part : more.polymers)
    sum.polymers.push_back({part.molality * amount / water, part.polymer});
  for (const auto& ion : more.ions)
    sum.ions.push_back({ion.name, ion.charge, ion.molality * amount / water});
  sum.strong_charge = scale(sum.strong_charge, amount * more.strong_charge);
  sum.strong_ionic = scale(sum.strong_ionic, amount * more.strong_ionic);
  sum.inert_solutes = scale(sum.inert_solutes, amount * more.inert_solutes);
  return sum;
}

/// Charge (moles) and ionic strength (moles of ½ z²) of the protolytes and ions of a mixture.
struct Sums {
  double charge = 0, ionic = 0;

  template <class Policy>
  Sums(const Mixture& mixture, double h, const Policy& gamma, const Water& water)
      : charge(mixture.strong_charge), ionic(mixture.strong_ionic) {
    for (const auto& part : mixture.protolytes) {
      const Contribution in_play = contribution(part, h, gamma);
      charge += in_play.molality * in_play.mean.z;
      ionic += 0.5 * in_play.molality * in_play.mean.z2;
    }
    for (const auto& part : mixture.polymers) {
      const PolymerState sites = ionisation(part.polymer, std::log(h), gamma.sqrt_ionic(), water);
      charge -= part.molality * sites.ionised;
      ionic -= 0.5 * part.molality * sites.bound;
    }
  }
};

/// Whether what an addition does at a given pH is more than a multiple of it: a limit takes part, or
/// another phase while the water grows.
inline bool is_nonlinear(const Mixture& base, const Addition& addition) {
  const auto limited = [](const Dissolved& part) { return part.neutral.is_limited(); };
  const auto shared = [](const Dissolved& part) { return part.neutral.elsewhere > 0; };
  const auto any = [](const Mixture& mixture, auto what) {
    return std::any_of(mixture.protolytes.begin(), mixture.protolytes.end(), what);
  };
  const bool grows = addition.water_kg != 0;
  return any(addition.brings, limited) || (grows && (any(base, limited) || any(base, shared) ||
                                                     any(addition.brings, shared)));
}

/// The pH followed along the amount up to `most`; empty where the target h is not between the ends.
template <class Model>
std::optional<double> bracketed_amount(const Mixture& base, const Addition& addition, const Water& water,
                                       const Model& model, double h, double most) {
  const auto miss = [&, target = std::log(h)](double x) {
    return solve(with_addition(base, addition, x), water, model).x - target;
  };
  if (!(miss(0) * miss(most) <= 0)) return std::nullopt;
  return bracketed_root(miss, 0.0, most);
}

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
    return bracketed_amount(base_, addition_, water_, model_, h_, most_);
  }

 private:
  /// I(u) - u² with the amount that closes the charge at this u.
  double excess(double u) {
    const double x = std::clamp(amount_at(u), 0.0, most_);
    const double water = 1 + x * addition_.water_kg;
    const auto gamma = model_.at(u);
    const Sums base(base_, h_, gamma, water_), more(addition_.brings, h_, gamma, water_);
    const WaterIons ions = free_ions(x, gamma);
    const double open = base.charge + x * more.charge + water * (ions.H - ions.OH);  // 0 unless clamped
    return (base.ionic + x * more.ionic + 0.5 * std::abs(open)) / water + 0.5 * (ions.H + ions.OH) - u * u;
  }
  /// Linear in the amount but for the water activity, which a few of Steffensen's passes settle.
  double amount_at(double u) {
    const auto gamma = model_.at(u);
    const Sums base(base_, h_, gamma, water_), more(addition_.brings, h_, gamma, water_);
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
    const Sums base(base_, h_, gamma, water_), more(addition_.brings, h_, gamma, water_);
    const WaterIons ions = free_ions(x, gamma);
    const double water = 1 + x * addition_.water_kg;
    const double charge = base.charge + x * more.charge + water * (ions.H - ions.OH);
    const double scale = base_.charge_scale() + x * addition_.brings.charge_scale() +
                         water * (ions.H + ions.OH);
    return std::abs(charge) <= 1e-14 * scale && std::abs(excess(u)) <= 1e-12 * (1 + u * u);
  }
  template <class Policy>
  WaterIons free_ions(double x, const Policy& gamma) const {
    const double water = 1 + x * addition_.water_kg;
    const double solutes = (base_.solutes() + x * addition_.brings.solutes()) / water;
    return water_ions(SolventOf<double>(water_, solutes), h_, gamma);
  }

  const Mixture& base_;
  const Addition& addition_;
  const Water& water_;
  const Model& model_;
  double h_, most_;
};

/// Whether amounts of this addition follow from a balance that is linear in them, under this model.
template <class Model>
bool has_linear_balance(const Mixture& base, const Addition& addition) {
  return !std::is_same_v<Model, SpecificIonModel> && !is_nonlinear(base, addition);
}

/// From where to where an addition leads the pH, found when it is asked for.
template <class Model>
class Ends {
 public:
  Ends(const Mixture& base, const Addition& addition, const Water& water, const Model& model, double most)
      : base_(base), addition_(addition), water_(water), model_(model), most_(most) {}

  /// Whether x = ln h lies well outside; a little way past the start, dilution alone can lead.
  bool are_far_from(double x) {
    constexpr double little = 0.3 * ln10;
    if (!start_) {
      start_ = solve(base_, water_, model_).x;
      end_ = solve(with_addition(base_, addition_, most_), water_, model_).x;
    }
    return x < std::min(*start_, end_) - little || x > std::max(*start_, end_) + little;
  }

 private:
  const Mixture& base_;
  const Addition& addition_;
  const Water& water_;
  const Model& model_;
  double most_;
  std::optional<double> start_;
  double end_ = 0;
};

/// The amount of an addition (units per kg of the base's water, 0 to `most`) that holds hydrogen-ion
/// activity h; empty where none does.
template <class Model>
std::optional<double> amount_holding(double h, const Mixture& base, const Addition& addition,
                                     const Water& water, const Model& model, double most) {
  if constexpr (!std::is_same_v<Model, SpecificIonModel>) {
    if (has_linear_balance<Model>(base, addition)) {
      const auto root = AmountNewton(base, addition, water, model).at(h, first_guess(base));
      if (root && root->x >= 0 && root->x < most) return root->x;
      if (root && Ends(base, addition, water, model, most).are_far_from(std::log(h))) return std::nullopt;
      return DoseSolver(base, addition, water, model, h, most).amount();
    }
  }
  return bracketed_amount(base, addition, water, model, h, most);
}

}  // namespace counterion::chemistry
