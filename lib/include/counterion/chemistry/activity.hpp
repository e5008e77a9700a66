// SPDX-License-Identifier: MIT
// Activity coefficients of ions from the ionic strength; one small policy type for each model.
#pragma once

#include <counterion/chemistry/water.hpp>

#include <array>
#include <cmath>
#include <optional>
#include <string_view>

namespace counterion {

/// Models of ion activity, by name at the border.
enum class Activity { davies, extended_debye_huckel, ideal };

inline constexpr std::array<std::string_view, 3> activity_names = {
    "davies", "extended-debye-huckel", "ideal"};

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

/// Every coefficient is one.
struct Ideal {
  static double gamma(int, double) { return 1; }
  static double step(int, double, double) { return 1; }
  static double slope(int, double) { return 0; }
};

/// ln γ = -A ln10 z² (√I/(1+√I) - 0.3 I). Davies, Ion Association (1962; from memory).
class Davies {
 public:
  Davies(const Water& water, double u, double held_beyond) {
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

 private:
  double ln_one_, slope_one_, one_;
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

 private:
  double ln_gamma(int z, double a) const { return -A_ * z * z * u_ / (1 + a * B_ * u_); }
  double A_, B_, u_;
};

/// Makes the policy for any u; the model's constants are fixed.
struct IdealModel {
  Ideal at(double) const { return {}; }
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

/// Calls `work` with the model of that name: the one place where a name becomes a type.
template <class Work>
decltype(auto) with_model(Activity activity, const Water& water, double held_beyond, Work&& work) {
  switch (activity) {
    case Activity::ideal: return work(IdealModel{});
    case Activity::extended_debye_huckel: return work(ExtendedDebyeHuckelModel{water});
    case Activity::davies: break;
  }
  return work(DaviesModel{water, held_beyond});
}

}  // namespace chemistry
}  // namespace counterion
