// SPDX-License-Identifier: MIT
// How frequent the forms of a ladder are, from powers that all ladders share, where γ depends on nothing but
// the charge.
#pragma once

#include <counterion/chemistry/number.hpp>

#include <array>
#include <cstddef>

namespace counterion::chemistry {

/// How frequent forms of one sign are, and the same times |z|, z², |z|³, z⁴.
template <class Number>
struct Moments {
  Number one, z, z2, z3, z4;

  Moments(const Number& frequency, int size) : one(frequency), z(one), z2(one), z3(one), z4(one) {
    if (size == 1) return;
    const double k = size;
    z = one * k, z2 = z * k, z3 = z2 * k, z4 = z3 * k;
  }
  void add(const Moments& more) {
    one += more.one, z += more.z, z2 += more.z2, z3 += more.z3, z4 += more.z4;
  }
};

/// A form of charge z that costs K1…Kj from the neutral one is as frequent as K1…Kj h^z / γ(1)^(z²). The
/// powers of h and γ are the same for all ladders.
template <class Number>
class ChargePowers {
 public:
  /// Charges beyond, and powers that leave the range of doubles, need the careful way of charge.hpp.
  static constexpr int most = 6;
  static constexpr double far = 1e100;

  /// For the charges from `least` (at most 0) to `largest` (at least 0), each at most `most` in size.
  ChargePowers(const Number& h, const Number& inverse_gamma, int least, int largest)
      : least_(least), largest_(largest) {
    const Number growth = inverse_gamma * inverse_gamma;
    fill(1, largest, h * inverse_gamma, growth);
    fill(-1, -least, inverse_gamma / h, growth);
  }
  bool cover(int first, int last) const { return last >= least_ && first <= largest_; }
  const Number& operator[](int z) const { return powers_[static_cast<std::size_t>(z + most)]; }
  /// Whether the powers are in range (for lanes: where).
  auto hold() const { return in_range(largest_) & in_range(least_); }

 private:
  void fill(int sign, int end, Number factor, const Number& growth) {
    Number power = factor;
    for (int k = 1; k <= end; ++k) {
      powers_[static_cast<std::size_t>(sign * k + most)] = power;
      factor *= growth;
      power *= factor;
    }
  }
  auto in_range(int z) const {
    const Number power = z == 0 ? Number(1) : (*this)[z];
    return (power > Number(1 / far)) & (power < Number(far));
  }
  int least_, largest_;
  std::array<Number, 2 * most + 1> powers_;  // only those of charges asked for are filled
};

/// A ladder in numbers: `K` are the acidity constants of the losses of a proton from the form of charge
/// `first`; `neutral_weight` counts the neutral form as often as it is there, in the water and elsewhere.
template <class Number>
struct LadderOf {
  int first;
  const Number* K;
  int steps;
  Number neutral_weight;

  int last() const { return first - steps; }
};

/// Goes down a ladder from its fully protonated form, one proton after another.
template <class Number>
class LadderWalk {
 public:
  LadderWalk(const LadderOf<Number>& ladder, const ChargePowers<Number>& powers)
      : powers_(powers), K_(ladder.K), charge_(ladder.first) {}

  /// The forms from here to the one of charge `end`, all of one sign; stays there.
  Moments<Number> sum_to(int end) {
    Moments<Number> sum = here();
    while (charge_ != end) {
      lose_proton();
      sum.add(here());
    }
    return sum;
  }
  void lose_proton() {
    frequency_ *= *K_++;
    --charge_;
  }
  /// That of the form without its power, which is one for the neutral form.
  const Number& frequency() const { return frequency_; }

 private:
  Moments<Number> here() const { return {frequency_ * powers_[charge_], charge_ < 0 ? -charge_ : charge_}; }

  const ChargePowers<Number>& powers_;
  const Number* K_;
  int charge_;
  Number frequency_ = Number(1);
};

}  // namespace counterion::chemistry
