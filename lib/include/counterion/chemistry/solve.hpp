// SPDX-License-Identifier: MIT
// pH of a mixture: the balance solved for h, with the ionic strength that goes with it.
#pragma once

#include <counterion/chemistry/balance.hpp>
#include <counterion/chemistry/bracketed_root.hpp>

#include <optional>

namespace counterion::chemistry {

/// What no liquid has; beyond it only held reserves that dissolve one another can lead (mol/kg).
inline constexpr double most_ionic_strength = 1e7;

/// Where the balance closes: x = ln a(H+), u = √I.
struct Root {
  double x = 0, u = 0;
  int passes = 0;
};

/// One Newton step in (x, u), bounded; the unknowns are ln(positive/negative) = 0 and I = u².
/// Far from the root u simply follows the ionic strength, which the forms' charges bound; it falls to no less
/// than half, for the ions that a chain holds can seem to leave none.
template <class Number>
struct NewtonStep {
  Number x, u;

  NewtonStep(const BalanceOf<Number>& b, const Number& u_now, const Number& reach) : u_now_(u_now) {
    // the first equation times positive · negative, as are its slopes
    const Number p = b.positive, n = b.negative, g = ln_ratio(p, n) * (p * n);
    const Number g_x = b.positive_by_x * n - b.negative_by_x * p;
    const Number g_u = b.positive_by_u * n - b.negative_by_u * p;
    const Number f = b.ionic - u_now * u_now, f_u = b.ionic_by_u - 2 * u_now;
    const Number inverse = 1 / (g_x * f_u - g_u * b.ionic_by_x);
    x = (g_u * f - g * f_u) * inverse;
    u = (b.ionic_by_x * g - g_x * f) * inverse;
    near_ = (abs(x) < Number(1)) & (abs(u) <= 0.5 * u_now);
    if (all(near_)) return;
    x = select(near_, x, between(-g / g_x, -reach, reach));
    u = select(near_, u, most_of(Number(sqrt(b.ionic) - u_now), Number(-0.5 * u_now)));
  }
  /// Whether the solve ends with this step. What it leaves is its square, `small`² or so, but where the
  /// slopes jump: there it must itself be as small as rounding lets it.
  template <class Model>
  auto is_last(const Model& model, double small) const -> decltype(Number() < Number()) {
    const auto within = near_ & is_within(small);
    if (!any(within)) return within;
    const auto smooth = !model.bends_between(u_now_, Number(u_now_ + u));
    return within & (smooth | is_within(rounding));
  }
  static constexpr double rounding = 1e-10;

 private:
  auto is_within(double small) const -> decltype(Number() < Number()) {
    return (abs(x) < Number(small)) & (abs(u) < 2 * small * u_now_);
  }

  Number u_now_;
  decltype(Number() < Number()) near_;
};

/// Whether the two sides agree to rounding.
template <class Number>
auto closes(const BalanceOf<Number>& b, const Number& u) {
  constexpr double rounding = 4e-16;
  return (abs(b.charge()) <= rounding * (b.positive + b.negative + b.ionic)) &
         (abs(b.ionic - u * u) <= 1e-13 * (1 + b.ionic));
}

/// Coupled Newton from pH 7 or from a root that may be near, kept where a root can be; empty when it has not settled
/// in `most` passes.
template <class Model>
std::optional<Root> newton_root(const Mixture& mixture, const Solvent& solvent, const Model& model,
                                int most = 40, const Root* near = nullptr) {
  // coefficients and the water's activity leave the charges' own bounds behind by less than this
  constexpr double beyond = 1e9;
  const double small = solvent.reach.is_plain ? 1.5e-7 : NewtonStep<double>::rounding;
  const double bound = beyond * (1 + mixture.charge_scale()), low = solvent.Kw / bound;
  double h = 1e-7, u = std::sqrt(std::min(mixture.strong_ionic, 0.5) + 1e-7), reach = 8, last = 0;
  if (near) h = std::exp(near->x), u = near->u;
  for (int pass = 1; pass <= most; ++pass) {
    const Balance b = balance(mixture, solvent, h, model.at(u));
    if (pass > 8 && closes(b, u)) return Root{std::log(h), u, pass};
    const NewtonStep<double> step(b, u, reach);
    if (!std::isfinite(step.x) || !std::isfinite(step.u)) return std::nullopt;
    if (step.x * last < 0) reach *= 0.5;  // a turn means that the last step went too far
    last = step.x;
    h = between(h * exp_of_step(step.x), low, bound);
    u += step.u;
    if (step.is_last(model, small)) return Root{std::log(h), u, pass};
  }
  return std::nullopt;
}

/// √I that agrees with itself: root of `excess(u)` = I(u) - u², which is not negative at u = 0; where held
/// reserves dissolve one another without end, the end of what is looked at.
template <class Function>
double consistent_sqrt_ionic(Function&& excess) {
  constexpr double most = 1e6;
  double high = 1;
  while (excess(high) > 0 && high < most) high *= 2;
  return high < most ? bracketed_root(excess, 0.0, high) : high;
}

/// √I of a mixture whose hydrogen-ion activity h is given; singly charged ions close what is open.
template <class Model>
double sqrt_ionic_at(const Mixture& mixture, const Solvent& solvent, const Model& model, double h) {
  return consistent_sqrt_ionic([&](double u) {
    const Balance b = balance(mixture, solvent, h, model.at(u));
    return b.ionic + 0.5 * std::abs(b.charge()) - u * u;
  });
}

/// ln a(H+) that closes the charge at a given √I; there is exactly one, for the charge rises with it.
template <class Model>
double ln_h_at(const Mixture& mixture, const Solvent& solvent, const Model& model, double u) {
  const auto gamma = model.at(u);
  const auto charge = [&](double x) { return balance(mixture, solvent, std::exp(x), gamma).charge(); };
  const double bound = 1 + mixture.charge_scale();
  double low = std::log(solvent.Kw / bound) - 4, high = std::log(bound);
  while (charge(high) < 0 && high < 100) high += 2;
  while (charge(low) > 0 && low > -200) low -= 2;
  return bracketed_root(charge, low, high);
}

/// The slow, certain way: I is followed with the charge closed at every I, so a root always lies
/// between the ends (the other order can jump between branches of I where highly charged ions abound).
template <class Model>
Root bracketed_root_of(const Mixture& mixture, const Solvent& solvent, const Model& model) {
  const double u = consistent_sqrt_ionic([&](double v) {
    const double h = std::exp(ln_h_at(mixture, solvent, model, v));
    return balance(mixture, solvent, h, model.at(v)).ionic - v * v;
  });
  return {ln_h_at(mixture, solvent, model, u), u, 0};
}

/// Moles of strong base per kg of water and pH at a balance that closes, the ionic strength that the
/// base brings included, and its part in the water activity. Van Slyke, J. Biol. Chem. 52, 525 (1922).
inline double buffer_capacity(const Balance& b, double u) {
  // charge + B = 0 and ionic + B/2 = u², both differentiated; a mole of base costs `k` moles of OH-.
  const double k = -b.negative_by_solutes, ionic_per_charge = (1 - k) / (2 * (1 + k));
  const double f_u = b.ionic_by_u - 2 * u;
  const double u_by_x = (b.charge_by_x() * ionic_per_charge - b.ionic_by_x) /
                        (f_u - b.charge_by_u() * ionic_per_charge);
  return ln10 * (b.charge_by_x() + b.charge_by_u() * u_by_x) / (1 + k);
}

/// pH of the mixture to max(1e-9, 8 ε Σ|m z|/β), for any finite non-negative composition: coupled Newton,
/// and where that has not settled, bracketed roots (as Munhoven, Geosci. Model Dev. 6, 1367, 2013, from
/// memory, keeps his).
template <class Model>
Root solve(const Mixture& mixture, const Water& water, const Model& model) {
  const Solvent solvent(water, mixture);
  if (const auto root = newton_root(mixture, solvent, model)) return *root;
  return bracketed_root_of(mixture, solvent, model);
}

/// The same, looked for next to the root of a mixture that is nearly the same.
template <class Model>
Root solve_near(const Root& near, const Mixture& mixture, const Water& water, const Model& model) {
  constexpr int most = 12;
  const Solvent solvent(water, mixture);
  if (const auto root = newton_root(mixture, solvent, model, most, &near)) return *root;
  return solve(mixture, water, model);
}

/// A solved mixture with constants and a model that hold at its root.
template <class Model>
struct Settled {
  Root root;
  const Mixture& mixture;
  const Model& model;
};

/// Solves; the models above need nothing settled. (See specific_ion.hpp for the one that does.)
template <class Model>
Settled<Model> settle(const Mixture& mixture, const Water& water, const Model& model) {
  return {solve(mixture, water, model), mixture, model};
}

}  // namespace counterion::chemistry
