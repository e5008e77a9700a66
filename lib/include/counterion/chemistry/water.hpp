// SPDX-License-Identifier: MIT
// Water as the solvent: ion product, density, permittivity, Debye-Hückel slopes at 0 to 80 °C.
#pragma once

#include <cmath>

namespace counterion {

/// How the water activity follows from the molality of everything dissolved.
enum class WaterActivity {
  raoult,  ///< mole fraction of water (default; stays positive in concentrated humectants)
  linear,  ///< 1 - 0.017 per mol/kg, the rule of general geochemical engines
  unity    ///< 1, as textbooks do
};

/// The solvent's constants as one value, so that any reference's own can be put in their place.
struct Water {
  double pKw = 13.9945;
  double debye_huckel_A = 0.5108;  ///< log10, (kg/mol)^½
  double debye_huckel_B = 0.3287;  ///< per ångström, (kg/mol)^½
  WaterActivity activity = WaterActivity::raoult;
};

namespace chemistry {

inline constexpr double ln10 = 2.302585092994045684;
inline constexpr double gas_constant_J_per_mol_K = 8.314462618;  // exact since 2019
inline constexpr double reference_kelvin = 298.15;
inline constexpr double molar_mass_of_water_kg_per_mol = 0.018015268;

/// Density of air-free water at 1 atm in g/cm³, 0 to 80 °C.
/// Kell, J. Chem. Eng. Data 20, 97 (1975), equation 16 (coefficients as open implementations
/// print them; tested against a table).
inline double water_density(double t_celsius) {
  const double t = t_celsius;
  const double numerator =
      999.83952 +
      t * (16.945176 +
           t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
  return numerator / (1 + 16.879850e-3 * t) / 1000;
}

/// Static relative permittivity of water, 0 to 80 °C.
/// Malmberg and Maryott, J. Res. NBS 56, 1 (1956) (coefficients from memory; tested against a table).
inline double water_permittivity(double t_celsius) {
  const double t = t_celsius;
  return 87.740 + t * (-0.40008 + t * (9.398e-4 + t * -1.410e-6));
}

/// pKw on the molal scale for liquid water.
/// Bandura and Lvov, J. Phys. Chem. Ref. Data 35, 15 (2006); IAPWS R11-07 (coefficients from memory;
/// they give the release's verification values at 300, 600 and 800 K, which a test repeats).
inline double water_pKw(double kelvin, double density_g_per_cm3) {
  const double T = kelvin, rho = density_g_per_cm3;
  const double Q =
      rho * std::exp(-0.864671 + 8659.19 / T - 22786.2 / (T * T) * std::pow(rho, 2.0 / 3.0));
  const double liquid =
      std::log10(1 + Q) - Q / (Q + 1) * rho * (0.642044 - 56.8534 / T - 0.375754 * rho);
  const double gas = 0.61415 + 4.825133e4 / T - 6.770793e4 / (T * T) + 1.010210e7 / (T * T * T);
  return -12 * liquid + gas + 2 * std::log10(molar_mass_of_water_kg_per_mol);
}

/// Constants of water at a temperature in °C, 0 to 80.
/// Debye-Hückel slopes from permittivity and density: Robinson and Stokes, Electrolyte Solutions, ch. 9
/// (numerical factors from memory).
inline Water water_at(double t_celsius) {
  const double T = t_celsius + 273.15;
  const double rho = water_density(t_celsius);
  const double eT = water_permittivity(t_celsius) * T;
  return {water_pKw(T, rho), 1.82483e6 * std::sqrt(rho) / (eT * std::sqrt(eT)),
          50.2916 * std::sqrt(rho / eT), WaterActivity::raoult};
}

}  // namespace chemistry
}  // namespace counterion
