// SPDX-License-Identifier: MIT
// One source for a single number and for lanes of numbers: what both need beside arithmetic.
//
// `Number` is double, or a batch of doubles whose own functions are found by their argument's type.
#pragma once

#include <bit>
#include <cmath>
#include <cstdint>

namespace counterion::chemistry {

using std::abs;
using std::exp;
using std::expm1;
using std::hypot;
using std::log;
using std::log1p;
using std::sqrt;

inline double select(bool which, double a, double b) { return which ? a : b; }
inline bool all(bool which) { return which; }
inline bool any(bool which) { return which; }

/// The smaller and the larger of two, and `a` kept between two; a bound that is no number leaves `a`.
template <class Number>
Number least_of(const Number& a, const Number& b) {
  return select(b < a, b, a);
}
template <class Number>
Number most_of(const Number& a, const Number& b) {
  return select(b > a, b, a);
}
template <class Number>
Number between(const Number& a, const Number& low, const Number& high) {
  return least_of(most_of(a, low), high);
}

/// ln(a/b) of positive numbers to 0.06.
template <class Number>
Number rough_ln_ratio(const Number& a, const Number& b) {
  return log(a / b);
}
/// From the bits of their exponents, which are nearly logarithms.
template <>
inline double rough_ln_ratio(const double& a, const double& b) {
  constexpr double ln2_per_bit = 0.69314718055994531 / 4503599627370496.0;
  return static_cast<double>(std::bit_cast<std::int64_t>(a) - std::bit_cast<std::int64_t>(b)) * ln2_per_bit;
}

/// ln(a/b) for a step towards a/b = 1: to 2e-6 of itself within a factor of two, to 0.06 beyond.
template <class Number>
Number ln_ratio(const Number& a, const Number& b) {
  const Number r = (a - b) / (a + b), s = r * r;
  // 2 artanh r
  const Number near = 2 * r * (1 + s * (1. / 3) + s * s * (0.2 + s * (1. / 7) + s * s * (1. / 9)));
  const auto is_near = s < Number(1. / 9);
  return all(is_near) ? near : select(is_near, near, rough_ln_ratio(a, b));
}

/// e^x for a step of |x| <= 8: to rounding for small x, within three per cent at the ends.
template <class Number>
Number exp_of_step(const Number& x) {
  const Number y = x * 0.125, s = y * y;
  const Number e = 1 + y + s * (0.5 + y * (1. / 6) + s * (1. / 24 + y * (1. / 120)));
  const Number e2 = e * e, e4 = e2 * e2;
  return e4 * e4;
}

}  // namespace counterion::chemistry
