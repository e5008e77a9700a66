// SPDX-License-Identifier: MIT
// Acid polymers (carbomer, polyacrylates): one kind of site along a chain, whose apparent pK rises with
// neutralisation and falls with salt, and which binds part of its counter-ions.
//
// Line-charge model: sites a distance b apart keep the mean charge q = α - θ, where α are ionised and θ
// of their counter-ions bound. Screened by κ that costs ξ q² L a site in kT, with L = -ln(1 - e^(-κb)) and
// ξ = Bjerrum length / b (Manning, Q. Rev. Biophys. 11, 179, 1978; from memory). So, with y = 2ξLq,
//   ln(α/(1-α)) = ln(10)(pH - pK0) - ln γ - y,      θ = 8π N_A (ξ-1) b³ c (e^y - 1 - y);
// the second is his bound layer at molality c = I outside, less what the screening holds already (our
// step), and γ the ion cloud of a single charge. Both follow from one convex free energy: α rises with pH,
// y with α. Only pK0 and b are left open.
#pragma once

#include <counterion/chemistry/number.hpp>
#include <counterion/chemistry/water.hpp>

#include <cmath>
#include <string>

namespace counterion {

/// One acid site of a polymer (carbomer, polyacrylate); the chain is the same whatever their number.
struct AcidPolymer {
  double pK0 = 4.5;                 ///< pK of a site on an uncharged chain, no salt
  double spacing_angstrom = 2.52;   ///< distance of sites along the stretched chain, above 0
  double ion_size_angstrom = 4.5;   ///< for the cloud around a single charge
  std::string name = {};            ///< what messages call it
  bool operator==(const AcidPolymer&) const = default;
};

namespace chemistry {

/// Shares of the sites and their slopes in x = ln a(H+) and u = √I.
template <class Number>
struct PolymerStateOf {
  Number ionised{}, ionised_by_x{}, ionised_by_u{};  ///< 0 to 1: mol of charge per mol of sites
  Number bound{}, bound_by_x{}, bound_by_u{};        ///< counter-ions held, at most `ionised`
  Number potential{};  ///< what raises the apparent pK, times ln 10

  /// Share of the ionised sites whose counter-ion stays free, 0 to 1.
  Number free_counterions() const { return ionised > 0 ? 1 - bound / ionised : 1; }
};
using PolymerState = PolymerStateOf<double>;

/// Share that a potential of `z` leaves ionised: 1/(1 + e^-z), without overflow.
template <class Number>
Number logistic(const Number& z) {
  const Number e = exp(-abs(z)), one = Number(1);
  return select(z >= Number(0), one, e) / (1 + e);
}

/// What salt does to one site at u = √I, with slopes in u.
template <class Number>
struct SiteScreening {
  Number repulsion, repulsion_by_u;  ///< 2ξL
  Number layer, layer_by_u;          ///< bound counter-ions per unit of e^y - 1 - y
  Number ln_gamma, ln_gamma_by_u;    ///< single charge, extended Debye-Hückel

  SiteScreening(const AcidPolymer& polymer, const Number& u, const Water& water) {
    const double A = water.debye_huckel_A * ln10, B = water.debye_huckel_B;
    const double b = polymer.spacing_angstrom, xi = 2 * A / (B * b), far = 600;
    const Number I = u * u + pure_water, v = sqrt(I), k_here = B * b * v, k = least_of(k_here, Number(far));
    const Number k_by_u = select(k_here < Number(far), B * b * u / v, Number(0));
    repulsion = -2 * xi * log1p(-exp(-k));
    repulsion_by_u = -2 * xi * k_by_u / expm1(k);
    const double volume = litres_per_mol_angstrom3 * (xi > 1 ? xi - 1 : 0) * b * b * b;
    layer = volume * I;
    layer_by_u = volume * 2 * u;
    const Number d = 1 + polymer.ion_size_angstrom * B * u;
    ln_gamma = -A * u / d;
    ln_gamma_by_u = -A / (d * d);
  }

  static constexpr double pure_water = 1e-7;  // ionic strength below which no water falls
  static constexpr double litres_per_mol_angstrom3 = 8 * 3.14159265358979324 * 6.02214076e-4;
};

/// Root y of S(y) = 1/(1 + e^(y-z)) with S = y/w + t(e^y - 1 - y), which lies between 0 and `high`.
/// Newton on the logarithm, nearly straight; then on S(1 + e^(y-z)) - 1, which is convex; else halving.
template <class Number>
Number site_potential(const Number& z, const Number& w, const Number& t) {
  const Number a = logistic(z), b = logistic(-z);
  Number low = Number(0), high = w * a;
  // as e^y - 1 - y > e^y/2 - ln 2
  high = select(t > Number(0), least_of(high, log(2 * a / most_of(t, Number(1e-300)) + 1.3863)), high);
  Number y = high;
  for (int pass = 0; pass < 100; ++pass) {
    const Number growth = expm1(y), S = y / w + t * (growth - y), S_y = 1 / w + t * growth;
    const Number tail = b * (growth + 1), T = a + tail, excess = S * T - a;
    high = select(excess > Number(0), y, high);
    low = select(excess > Number(0), low, y);
    const auto inside = [&](const Number& y_next) { return (y_next > low) & (y_next < high); };
    const Number direct = y - log(S / a * T) / (S_y / S + tail / T);
    const auto last = abs(direct - y) <= 1e-10 * y;  // Newton squares what is left
    const Number second = y - excess / (S_y * T + S * tail);
    y = select(last | inside(direct), direct, select(inside(second), second, 0.5 * (low + high)));
    if (all(last)) break;
  }
  return y;
}

/// State of the sites at x = ln a(H+) and u = √I (mol/kg): the polymer of site molality m brings the
/// charge -m·ionised, and -½·m·bound to the ionic strength when its counter-ions are counted in full.
/// Share and slopes to rounding. `pK0` stands for that of the polymer.
template <class Number>
PolymerStateOf<Number> ionisation(const AcidPolymer& polymer, const Number& pK0, const Number& x,
                                  const Number& u, const Water& water) {
  const SiteScreening<Number> salt(polymer, u, water);
  const Number w = salt.repulsion, t = salt.layer;
  const Number z = -ln10 * pK0 - x - salt.ln_gamma, z_by_u = -salt.ln_gamma_by_u;
  const Number y = site_potential(z, w, t);

  const Number ionised = logistic<Number>(z - y), variance = ionised * logistic<Number>(y - z);
  const Number growth = expm1(y), nonlinear = most_of<Number>(growth - y, Number(0));
  const Number stiffness = 1 / w + t * growth + variance;
  const Number y_by_x = -variance / stiffness;
  const Number y_by_u =
      (y / w * salt.repulsion_by_u / w - salt.layer_by_u * nonlinear + variance * z_by_u) / stiffness;

  PolymerStateOf<Number> state;
  state.ionised = ionised;
  state.ionised_by_x = -variance * ((1 / w + t * growth) / stiffness);
  state.ionised_by_u = variance * (z_by_u - y_by_u);
  state.bound = t * nonlinear;
  state.bound_by_x = t * growth * y_by_x;
  state.bound_by_u = salt.layer_by_u * nonlinear + t * growth * y_by_u;
  state.potential = y;
  return state;
}
inline PolymerState ionisation(const AcidPolymer& polymer, double x, double u, const Water& water) {
  return ionisation(polymer, polymer.pK0, x, u, water);
}

/// Apparent pK at this state: pH - log10(α/(1-α)).
inline double apparent_pK(const AcidPolymer& polymer, const PolymerState& state, double u,
                          const Water& water) {
  return polymer.pK0 + (state.potential + SiteScreening<double>(polymer, u, water).ln_gamma) / ln10;
}

}  // namespace chemistry
}  // namespace counterion
