// SPDX-License-Identifier: MIT
// Water's own ions, and the water activity that they feel.
#pragma once

#include <counterion/chemistry/activity.hpp>

#include <cmath>

namespace counterion::chemistry {

/// Ångström, as general geochemical engines have them.
inline constexpr double hydrogen_ion_size = 9, hydroxide_ion_size = 3.5;

/// The linear rule would turn negative in very concentrated solutions; it stops here.
inline constexpr double least_water_activity = 1e-3;

/// The two free ions of water and their slopes in x = ln h, u = √I and the molality of solutes.
template <class Number>
struct WaterIonsOf {
  Number H, OH, H_by_u, OH_by_x, OH_by_u;  // H_by_x is H
  Number OH_by_solutes;
};
using WaterIons = WaterIonsOf<double>;

/// Water as one solution meets it: ion product, and what is dissolved beside H+ and OH- (mol/kg).
template <class Number>
struct SolventOf {
  double Kw = 0;
  Number solutes;
  Water water;

  SolventOf(const Water& constants, const Number& solutes_mol_per_kg)
      : Kw(std::exp(-constants.pKw * ln10)), solutes(solutes_mol_per_kg),
        water(constants) {}
};

/// 1/γ of H+ and OH-.
template <class Policy>
auto inverse_hydrogen(const Policy& gamma) {
  if constexpr (requires { gamma.inverse_hydrogen(); }) return gamma.inverse_hydrogen();
  else if constexpr (knows_charge_alone<Policy>) return gamma.inverse_one();
  else return 1 / gamma.gamma(1, hydrogen_ion_size);
}
template <class Policy>
auto inverse_hydroxide(const Policy& gamma) {
  if constexpr (requires { gamma.inverse_hydroxide(); }) return gamma.inverse_hydroxide();
  else if constexpr (knows_charge_alone<Policy>) return gamma.inverse_one();
  else return 1 / gamma.gamma(-1, hydroxide_ion_size);
}

/// Molalities of H+ and OH- at hydrogen-ion activity h.
template <class Number, class Policy>
WaterIonsOf<Number> water_ions(const SolventOf<Number>& solvent, const Number& h, const Policy& gamma) {
  WaterIonsOf<Number> ions;
  ions.H = h * inverse_hydrogen(gamma);
  ions.H_by_u = -ions.H * gamma.slope(1, hydrogen_ion_size);
  const Number over_activity = solvent.Kw * (inverse_hydroxide(gamma) / h);
  Number a_w = Number(1), damping = a_w, a_w_by_solutes = Number(0);
  if (solvent.water.activity == WaterActivity::raoult) {
    a_w = 1 / (1 + molar_mass_of_water_kg_per_mol * solvent.solutes);
    a_w_by_solutes = -molar_mass_of_water_kg_per_mol * a_w * a_w;
  } else if (solvent.water.activity == WaterActivity::linear) {
    damping = 1 / (1 + 0.017 * over_activity);  // OH- is one of the solutes itself
    a_w = (1 - 0.017 * (solvent.solutes + ions.H)) * damping;
    const auto ends = a_w < Number(least_water_activity);
    a_w_by_solutes = select(ends, Number(0), -0.017 * damping);
    a_w = select(ends, Number(least_water_activity), a_w);
    damping = select(ends, Number(1), damping);
  }
  ions.OH = over_activity * a_w;
  ions.OH_by_solutes = over_activity * a_w_by_solutes;
  ions.OH_by_x = -ions.OH * damping;
  ions.OH_by_u = ions.OH_by_x * gamma.slope(-1, hydroxide_ion_size);
  return ions;
}

}  // namespace counterion::chemistry
