// SPDX-License-Identifier: MIT
// Activity coefficients of ions from the ionic strength; one small policy type for each model.
#pragma once

#include <counterion/chemistry/interactions.hpp>
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
constexpr double whole_power(double a, int n) {
  double base = n < 0 ? 1 / a : a, result = 1;
  for (unsigned k = static_cast<unsigned>(n < 0 ? -n : n); k != 0; k >>= 1, base *= base)
    if (k & 1u) result *= base;
  return result;
}

// A policy evaluated at u = √I offers
//   gamma(z, a)          activity coefficient of charge z, ion size a (ångström)
//   step(z, a, a_base)   gamma(z, a) / gamma(z - 1, a_base)
//   slope(z, a)          d ln gamma / d u
//   sqrt_ionic()         u
// and, where the water's own ions have more than that, hydrogen() and hydroxide(): their coefficients.

/// Every coefficient is one.
struct Ideal {
  double u = 0;
  double sqrt_ionic() const { return u; }
  static double gamma(int, double) { return 1; }
  static double step(int, double, double) { return 1; }
  static double slope(int, double) { return 0; }
};

/// ln γ = -A ln10 z² (√I/(1+√I) - 0.3 I). Davies, Ion Association (1962; from memory).
class Davies {
 public:
  Davies(const Water& water, double u, double held_beyond) : u_(u) {
    const double A = water.debye_huckel_A * ln10;
    const double end = std::sqrt(held_beyond);
    const double v = u < end ? u : end;
    ln_one_ = -A * (v / (1 + v) - 0.3 * v * v);
    slope_one_ = u < end ? -A * (1 / ((1 + v) * (1 + v)) - 0.6 * v) : 0;
    one_ = std::exp(ln_one_);
  }
  double gamma(int z, double) const { return whole_power(one_, z * z); }
  double step(int z, double, double) const { return whole_power(one_, 2 * z - 1); }
  double slope(int z, double) const { return z * z * slope_one_; }
  double sqrt_ionic() const { return u_; }

 private:
  double u_, ln_one_, slope_one_, one_;
};

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
    ln_one_ = -A * u / d;
    slope_one_ = -A / (d * d);
    one_ = std::exp(ln_one_);
    hydrogen_ = std::exp(ln_one_ + ln_hydrogen);
    hydroxide_ = std::exp(ln_one_ + ln_hydroxide);
  }
  double gamma(int z, double) const { return whole_power(one_, z * z); }
  double step(int z, double, double) const { return whole_power(one_, 2 * z - 1); }
  double slope(int z, double) const { return z * z * slope_one_; }
  double sqrt_ionic() const { return u_; }
  double hydrogen() const { return hydrogen_; }
  double hydroxide() const { return hydroxide_; }

 private:
  double u_, ln_one_, slope_one_, one_, hydrogen_, hydroxide_;
};

/// Makes the policy for any u; the model's constants are fixed.
struct IdealModel {
  Ideal at(double u) const { return {u}; }
};
struct DaviesModel {
  Water water;
  double held_beyond = davies_limit;
  Davies at(double u) const { return {water, u, held_beyond}; }
};
struct ExtendedDebyeHuckelModel {
  Water water;
  ExtendedDebyeHuckel at(double u) const { return {water, u}; }
};

/// The sums of H+ and OH- settled, as natural logarithms.
struct SettledSpecificIonModel {
  Water water;
  double ln_hydrogen = 0, ln_hydroxide = 0;
  SpecificIon at(double u) const { return {water, u, ln_hydrogen, ln_hydroxide}; }
};
/// Knows no coefficient before the composition is known: `settle` finds both together.
struct SpecificIonModel {
  Water water;
  const Interactions& interactions;
};

/// A model by name, with what the models may need.
struct ModelChoice {
  Activity activity = Activity::davies;
  Water water;
  double davies_held_beyond = davies_limit;
  const Interactions* interactions = nullptr;  ///< none given: every pair as its charges have it
};

/// Calls `work` with the model of that name: the one place where a name becomes a type.
template <class Work>
decltype(auto) with_model(const ModelChoice& choice, Work&& work) {
  static const Interactions none;
  switch (choice.activity) {
    case Activity::ideal: return work(IdealModel{});
    case Activity::extended_debye_huckel: return work(ExtendedDebyeHuckelModel{choice.water});
    case Activity::specific_ion:
      return work(SpecificIonModel{choice.water, choice.interactions ? *choice.interactions : none});
    case Activity::davies: break;
  }
  return work(DaviesModel{choice.water, choice.davies_held_beyond});
}

}  // namespace chemistry
}  // namespace counterion
