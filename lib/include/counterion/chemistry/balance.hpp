// SPDX-License-Identifier: MIT
// The one equation: electroneutrality of the water phase, with its ionic strength,
//   h/γ - Kw a_w/(h γ) + Σ m z̄(h, I) + s = 0      (mol per kg of water).
#pragma once

#include <counterion/chemistry/activity.hpp>
#include <counterion/chemistry/charge.hpp>

namespace counterion::chemistry {

/// Ångström, as general geochemical engines have them.
inline constexpr double hydrogen_ion_size = 9, hydroxide_ion_size = 3.5;

/// The linear rule would turn negative in very concentrated solutions; it stops here.
inline constexpr double least_water_activity = 1e-3;

/// The two free ions of water and their slopes in x = ln h, u = √I and the molality of solutes.
struct WaterIons {
  double H = 0, OH = 0, H_by_u = 0, OH_by_x = 0, OH_by_u = 0;  // H_by_x is H
  double OH_by_solutes = 0;
};

/// Water as one solution meets it: ion product, and what is dissolved beside H+ and OH- (mol/kg).
struct Solvent {
  double Kw = 0;
  WaterActivity rule = WaterActivity::raoult;
  double solutes = 0;
  Water water;

  Solvent(const Water& constants, double solutes_mol_per_kg)
      : Kw(std::pow(10.0, -constants.pKw)), rule(constants.activity), solutes(solutes_mol_per_kg),
        water(constants) {}
};

template <class Policy>
double hydrogen_coefficient(const Policy& gamma) {
  if constexpr (requires { gamma.hydrogen(); }) return gamma.hydrogen();
  else return gamma.gamma(1, hydrogen_ion_size);
}
template <class Policy>
double hydroxide_coefficient(const Policy& gamma) {
  if constexpr (requires { gamma.hydroxide(); }) return gamma.hydroxide();
  else return gamma.gamma(-1, hydroxide_ion_size);
}

/// Molalities of H+ and OH- at hydrogen-ion activity h.
template <class Policy>
WaterIons water_ions(const Solvent& solvent, double h, const Policy& gamma) {
  WaterIons ions;
  ions.H = h / hydrogen_coefficient(gamma);
  ions.H_by_u = -ions.H * gamma.slope(1, hydrogen_ion_size);
  const double over_activity = solvent.Kw / (h * hydroxide_coefficient(gamma));
  double a_w = 1, damping = 1, a_w_by_solutes = 0;
  if (solvent.rule == WaterActivity::raoult) {
    a_w = 1 / (1 + molar_mass_of_water_kg_per_mol * solvent.solutes);
    a_w_by_solutes = -molar_mass_of_water_kg_per_mol * a_w * a_w;
  } else if (solvent.rule == WaterActivity::linear) {
    damping = 1 / (1 + 0.017 * over_activity);  // OH- is one of the solutes itself
    a_w = (1 - 0.017 * (solvent.solutes + ions.H)) * damping;
    a_w_by_solutes = -0.017 * damping;
    if (a_w < least_water_activity) a_w = least_water_activity, damping = 1, a_w_by_solutes = 0;
  }
  ions.OH = over_activity * a_w;
  ions.OH_by_solutes = over_activity * a_w_by_solutes;
  ions.OH_by_x = -ions.OH * damping;
  ions.OH_by_u = -ions.OH * damping * gamma.slope(-1, hydroxide_ion_size);
  return ions;
}

/// Both sides of the equation at (x, u), the ionic strength that follows, and all slopes.
struct Balance {
  double positive = 0, positive_by_x = 0, positive_by_u = 0;  ///< mol of charge per kg of water
  double negative = 0, negative_by_x = 0, negative_by_u = 0;
  double ionic = 0, ionic_by_x = 0, ionic_by_u = 0;  ///< ½ Σ z² m
  double negative_by_solutes = 0;  ///< OH- through the water activity

  double charge() const { return positive - negative; }
  double charge_by_x() const { return positive_by_x - negative_by_x; }
  double charge_by_u() const { return positive_by_u - negative_by_u; }

  void add(double molality, const MeanCharge& mean) {
    positive += molality * mean.up;
    positive_by_x += molality * mean.up_by_x;
    positive_by_u += molality * mean.up_by_u;
    negative += molality * mean.down;
    negative_by_x += molality * mean.down_by_x;
    negative_by_u += molality * mean.down_by_u;
    ionic += 0.5 * molality * mean.z2;
    ionic_by_x += 0.5 * molality * mean.z2_by_x;
    ionic_by_u += 0.5 * molality * mean.z2_by_u;
  }
  void add(const WaterIons& ions) {
    positive += ions.H, positive_by_x += ions.H, positive_by_u += ions.H_by_u;
    negative += ions.OH, negative_by_x += ions.OH_by_x, negative_by_u += ions.OH_by_u;
    negative_by_solutes += ions.OH_by_solutes;
    ionic += 0.5 * (ions.H + ions.OH);
    ionic_by_x += 0.5 * (ions.H + ions.OH_by_x);
    ionic_by_u += 0.5 * (ions.H_by_u + ions.OH_by_u);
  }
  /// The chain itself is no ion of the solution; the counter-ions that it holds drop out of it.
  void add(double molality, const PolymerState& sites) {
    negative += molality * sites.ionised;
    negative_by_x += molality * sites.ionised_by_x;
    negative_by_u += molality * sites.ionised_by_u;
    ionic -= 0.5 * molality * sites.bound;
    ionic_by_x -= 0.5 * molality * sites.bound_by_x;
    ionic_by_u -= 0.5 * molality * sites.bound_by_u;
  }
  void add_strong(double charge, double ionic_strength) {
    (charge >= 0 ? positive : negative) += std::abs(charge);
    ionic += ionic_strength;
  }
};

/// The balance of a mixture at hydrogen-ion activity h.
template <class Policy>
Balance balance(const Mixture& mixture, const Solvent& solvent, double h, const Policy& gamma) {
  Balance sum;
  for (const auto& part : mixture.protolytes) {
    if (!part.neutral.is_limited()) {
      sum.add(part.molality, mean_charge(part.ladder, h, gamma, part.neutral.weight()));
    } else {
      const Contribution in_play = contribution(part, h, gamma);
      sum.add(in_play.molality, in_play.mean);
    }
  }
  sum.add(water_ions(solvent, h, gamma));
  sum.add_strong(mixture.strong_charge, mixture.strong_ionic);
  for (const auto& part : mixture.polymers)
    sum.add(part.molality, ionisation(part.polymer, std::log(h), gamma.sqrt_ionic(), solvent.water));
  if (sum.ionic < 0) sum.ionic = 0;  // far from the root, where a chain has no counter-ions yet
  return sum;
}

}  // namespace counterion::chemistry
