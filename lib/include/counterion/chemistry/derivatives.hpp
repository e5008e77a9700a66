// SPDX-License-Identifier: MIT
// First derivatives of pH and ionic strength at a root: the two equations differentiated, nothing solved again.
#pragma once

#include <counterion/chemistry/solve.hpp>

namespace counterion::chemistry {

/// What a small disturbance does to x = ln a(H+) and u = √I; per unit of what is disturbed.
struct Shift {
  double x = 0, u = 0;
};

/// The derivatives of one solved mixture; `Model` has its coefficients at hand.
template <class Model>
class Derivatives {
 public:
  Derivatives(const Mixture& mixture, const Water& water, const Model& model, const Root& root)
      : mixture_(mixture), water_(water), h_(std::exp(root.x)), u_(root.u), gamma_(model.at(root.u)) {
    const Solvent solvent(water, mixture);
    balance_ = balance(mixture, solvent, h_, gamma_);
    OH_by_solutes_ = balance_.negative_by_solutes;
    ionic_slope_ = balance_.ionic_by_u - 2 * u_;
    determinant_ = balance_.charge_by_x() * ionic_slope_ - balance_.charge_by_u() * balance_.ionic_by_x;
  }

  /// Charge and ½ Σ z² m in mol/kg that are added without asking where they come from.
  Shift by(double charge, double ionic) const {
    return {(-charge * ionic_slope_ + balance_.charge_by_u() * ionic) / determinant_,
            (-balance_.charge_by_x() * ionic + balance_.ionic_by_x * charge) / determinant_};
  }
  /// Per mol/kg of an inert ion.
  Shift by_ion(int charge) const {
    return by(charge - OH_by_solutes_, 0.5 * (charge * charge + OH_by_solutes_));
  }
  /// Per mol/kg of the total of a protolyte.
  Shift by_molality(std::size_t part) const {
    const auto& dissolved = mixture_.protolytes[part];
    const Contribution in_play = contribution(dissolved, h_, gamma_);
    const double solutes = dissolved.neutral.held ? 0 : OH_by_solutes_;
    return by(in_play.by_total * in_play.mean.z - solutes,
              0.5 * (in_play.by_total * in_play.mean.z2 + solutes));
  }
  /// Per mol/kg of the sites of a polymer.
  Shift by_sites(std::size_t part) const {
    const PolymerState sites = state_of(part);
    return by(-sites.ionised, -0.5 * sites.bound);
  }
  /// Per unit of a polymer's pK0: at a given u the sites see no more than its difference from the pH.
  Shift by_pK0(std::size_t part) const {
    const PolymerState sites = state_of(part);
    const double molality = ln10 * mixture_.polymers[part].molality;
    return by(-molality * sites.ionised_by_x, -0.5 * molality * sites.bound_by_x);
  }
  /// Per unit of pK of one step of a protolyte.
  Shift by_pK(std::size_t part, std::size_t step) const {
    const auto& dissolved = mixture_.protolytes[part];
    const Contribution in_play = contribution(dissolved, h_, gamma_);
    const auto& ladder = dissolved.ladder;
    const auto share = shares(ladder, h_, gamma_);
    const double weight = dissolved.neutral.weight();
    const double in_water = 1 - in_play.mean.neutral * (weight - 1);
    double moved = 0, z = 0, z2 = 0, neutral = 0;  // of the forms past the step
    for (std::size_t k = step + 1; k < share.size(); ++k) {
      const int charge = ladder.charge - static_cast<int>(k);
      const double s = share[k] * in_water;
      moved += charge == 0 ? weight * s : s;
      neutral += charge == 0 ? 1 : 0;
      z += charge * s;
      z2 += charge * charge * s;
    }
    const double molality = in_play.follows * (moved - neutral);  // d ln molality / d ln K
    const double factor = -ln10 * in_play.molality;
    return by(factor * (z - moved * in_play.mean.z + molality * in_play.mean.z),
              0.5 * factor * (z2 - moved * in_play.mean.z2 + molality * in_play.mean.z2));
  }
  /// Between two balances at this root that differ by one unit of what they differ in.
  Shift between(const Balance& before, const Balance& after) const {
    return by(after.charge() - before.charge(), after.ionic - before.ionic);
  }
  /// The balance of another mixture or another water at this root.
  template <class OtherModel>
  Balance balance_of(const Mixture& mixture, const Water& water, const OtherModel& model) const {
    return balance(mixture, Solvent(water, mixture), h_, model.at(u_));
  }

 private:
  PolymerState state_of(std::size_t part) const {
    return ionisation(mixture_.polymers[part].polymer, std::log(h_), u_, water_);
  }
  const Mixture& mixture_;
  Water water_;
  double h_, u_;
  decltype(std::declval<const Model&>().at(0.0)) gamma_;
  Balance balance_;
  double OH_by_solutes_ = 0, ionic_slope_ = 0, determinant_ = 0;
};

}  // namespace counterion::chemistry
