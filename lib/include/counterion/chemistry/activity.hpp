// SPDX-License-Identifier: MIT
// Activity coefficients of ions from the ionic strength; one small policy type for each model.
#pragma once

#include <counterion/chemistry/number.hpp>
#include <counterion/chemistry/water.hpp>

#include <array>
#include <cmath>
#include <optional>
#include <string_view>

namespace counterion {

/// Models of ion activity, by name at the border.
enum class Activity { davies, extended_debye_huckel, ideal, specific_ion };

inline constexpr std::array<std::string_view, 4> activity_names = {
    "davies", "extended-debye-huckel", "ideal", "specific-ion"};

/// The model of this name; empty when there is none (`activity_names` lists them).
constexpr std::optional<Activity> activity_named(std::string_view name) {
  for (std::size_t i = 0; i < activity_names.size(); ++i)
    if (activity_names[i] == name) return static_cast<Activity>(i);
  return std::nullopt;
}

namespace chemistry {

/// Davies' equation is held constant beyond this ionic strength (mol/kg): it turns upward there.
inline constexpr double davies_limit = 0.5;

/// a^n for a small whole n of either sign.
template <class Number>
constexpr Number whole_power(const Number& a, int n) {
  Number base = n < 0 ? 1 / a : a, result = Number(1);
  for (unsigned k = static_cast<unsigned>(n < 0 ? -n : n); k != 0; k >>= 1, base *= base)
    if (k & 1u) result *= base;
  return result;
}

// A policy evaluated at u = √I offers
//   gamma(z, a)          activity coefficient of charge z, ion size a (ångström)
//   step(z, a, a_base)   gamma(z, a) / gamma(z - 1, a_base)
//   slope(z, a)          d ln gamma / d u
//   sqrt_ionic()         u
// and where size does not matter, so that gamma(z, a) = gamma(1, a)^(z²):
//   inverse_one()        1 / gamma(1, a)
//   slope_one()          slope(1, a)
// where H+ and OH- have more than their charge:
//   inverse_hydrogen(), inverse_hydroxide()

template <class Policy>
inline constexpr bool knows_charge_alone = requires(const Policy& gamma) { gamma.inverse_one(); };

/// Every coefficient is one.
template <class Number>
struct IdealOf {
  Number u = Number(0);
  Number sqrt_ionic() const { return u; }
  static Number gamma(int, double) { return Number(1); }
  static Number step(int, double, double) { return Number(1); }
  static Number slope(int, double) { return Number(0); }
  static Number inverse_one() { return Number(1); }
  static Number slope_one() { return Number(0); }
};
using Ideal = IdealOf<double>;

/// ln γ = -A ln10 z² (√I/(1+√I) - 0.3 I). Davies, Ion Association (1962; from memory).
template <class Number>
class DaviesOf {
 public:
  DaviesOf(const Water& water, const Number& u, double held_beyond) : u_(u) {
    const double A = water.debye_huckel_A * ln10;
    const auto inside = u * u < Number(held_beyond);
    const Number v = all(inside) ? u : select(inside, u, Number(std::sqrt(held_beyond))), d = 1 / (1 + v);
    slope_one_ = select(inside, -A * (d * d - 0.6 * v), Number(0));
    inverse_one_ = exp(A * (v * d - 0.3 * v * v));
  }
  Number gamma(int z, double) const { return whole_power(inverse_one_, -z * z); }
  Number step(int z, double, double) const { return whole_power(inverse_one_, 1 - 2 * z); }
  Number slope(int z, double) const { return z * z * slope_one_; }
  Number sqrt_ionic() const { return u_; }
  Number inverse_one() const { return inverse_one_; }
  Number slope_one() const { return slope_one_; }

 private:
  Number u_, slope_one_, inverse_one_;
};
using Davies = DaviesOf<double>;

/// ln γ = -A ln10 z² √I / (1 + a B √I), a the ion size. Debye and Hückel, Phys. Z. 24, 185
/// (1923; from memory).
class ExtendedDebyeHuckel {
 public:
  ExtendedDebyeHuckel(const Water& water, double u)
      : A_(water.debye_huckel_A * ln10), B_(water.debye_huckel_B), u_(u) {}
  double gamma(int z, double a) const { return std::exp(ln_gamma(z, a)); }
  double step(int z, double a, double a_base) const {
    return std::exp(ln_gamma(z, a) - ln_gamma(z - 1, a_base));
  }
  double slope(int z, double a) const {
    const double d = 1 + a * B_ * u_;
    return -A_ * z * z / (d * d);
  }
  double sqrt_ionic() const { return u_; }

 private:
  double ln_gamma(int z, double a) const { return -A_ * z * z * u_ / (1 + a * B_ * u_); }
  double A_, B_, u_;
};

/// Specific ion interaction theory at a known composition:
///   log γ = -A z² √I/(1 + 1.5 √I) + Σ ε m,
/// summed over the ions of opposite charge. Here stands the first term; the sums of a ladder's forms
/// are in its constants (see specific_ion.hpp), those of H+ and OH- are given.
/// Ciavatta, Ann. Chim. (Rome) 70, 551 (1980; from memory).
class SpecificIon {
 public:
  SpecificIon(const Water& water, double u, double ln_hydrogen, double ln_hydroxide) : u_(u) {
    const double A = water.debye_huckel_A * ln10, d = 1 + 1.5 * u;
    slope_one_ = -A / (d * d);
    inverse_one_ = std::exp(A * u / d);
    inverse_hydrogen_ = std::exp(A * u / d - ln_hydrogen);
    inverse_hydroxide_ = std::exp(A * u / d - ln_hydroxide);
  }
  double gamma(int z, double) const { return whole_power(inverse_one_, -z * z); }
  double step(int z, double, double) const { return whole_power(inverse_one_, 1 - 2 * z); }
  double slope(int z, double) const { return z * z * slope_one_; }
  double sqrt_ionic() const { return u_; }
  double inverse_one() const { return inverse_one_; }
  double slope_one() const { return slope_one_; }
  double inverse_hydrogen() const { return inverse_hydrogen_; }
  double inverse_hydroxide() const { return inverse_hydroxide_; }

 private:
  double u_, slope_one_, inverse_one_, inverse_hydrogen_, inverse_hydroxide_;
};

// A model makes the policy for any u; its constants are fixed. `bends_between` says whether the coefficients'
// slope jumps between two values of u (for lanes: where): a step across is no good measure of what is left.

struct IdealModel {
  template <class Number>
  IdealOf<Number> at(const Number& u) const {
    return {u};
  }
  template <class Number>
  static auto bends_between(const Number& a, const Number&) {
    return a != a;  // nowhere
  }
};
struct DaviesModel {
  Water water;
  double held_beyond = davies_limit;
  template <class Number>
  DaviesOf<Number> at(const Number& u) const {
    return {water, u, held_beyond};
  }
  template <class Number>
  auto bends_between(const Number& a, const Number& b) const {
    const auto first = a * a < Number(held_beyond), second = b * b < Number(held_beyond);
    return (first & !second) | (second & !first);
  }
};
struct ExtendedDebyeHuckelModel {
  Water water;
  ExtendedDebyeHuckel at(double u) const { return {water, u}; }
  static bool bends_between(double, double) { return false; }
};

/// The sums of H+ and OH- settled, as natural logarithms.
struct SettledSpecificIonModel {
  Water water;
  double ln_hydrogen = 0, ln_hydroxide = 0;
  SpecificIon at(double u) const { return {water, u, ln_hydrogen, ln_hydroxide}; }
  static bool bends_between(double, double) { return false; }
};

}  // namespace chemistry
}  // namespace counterion
