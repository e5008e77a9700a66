// SPDX-License-Identifier: MIT
// Mean charge of a ladder from powers that all ladders share, where γ depends on nothing but the charge.
#pragma once

#include <counterion/chemistry/number.hpp>

#include <array>
#include <cstddef>

namespace counterion::chemistry {

/// Averages over the forms of one ladder, and their slopes in x = ln a(H+) and u = √I.
template <class Number>
struct MeanChargeOf {
  Number z{}, z_by_x{}, z_by_u{};           ///< mean charge; z_by_x is its variance
  Number up{}, up_by_x{}, up_by_u{};        ///< the part of it that cations carry
  Number down{}, down_by_x{}, down_by_u{};  ///< the part that anions carry, as a positive number
  Number z2{}, z2_by_x{}, z2_by_u{};        ///< mean squared charge
  Number slope{};    ///< mean d ln γ/du
  Number neutral{};  ///< share of the neutral form free in the water
};
using MeanCharge = MeanChargeOf<double>;

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

/// What forms of one sign carry, |z| and z², with slopes in x = ln h (for anions in -x) and in
/// s = -ln γ(1); the slope of z² in x is that of |z| in s.
template <class Number>
struct SideOf {
  Number charge = Number(0), by_x = charge, by_s = charge, square = charge, square_by_s = charge;

  /// Adds `molality` of a ladder whose frequencies sum to 1/`share`, whose mean charge towards this side is
  /// `z` and whose mean square is `z2`.
  void add(const Number& molality, const Moments<Number>& forms, const Number& share, const Number& z,
           const Number& z2) {
    const Number part = molality * share, carried = part * forms.z, squares = part * forms.z2;
    charge += carried;
    by_x += squares - carried * z;
    by_s += part * forms.z3 - carried * z2;
    square += squares;
    square_by_s += part * forms.z4 - squares * z2;
  }
  void add_alone(const Number& molality, const Moments<Number>& forms, const Number& share) {
    add(molality, forms, share, share * forms.z, share * forms.z2);
  }
};

/// Charges of ladders at one h and γ(1), summed.
template <class Number>
class LadderTotals {
 public:
  explicit LadderTotals(const ChargePowers<Number>& powers) : powers_(powers), hold_(powers.hold()) {}

  /// Whether nothing that counts has left the range of doubles (for lanes: where not).
  auto hold() const {
    const Number sum = up_.square_by_s + down_.square_by_s;  // no number where anything was none
    return hold_ & (sum - sum == Number(0));
  }
  const SideOf<Number>& up() const { return up_; }
  const SideOf<Number>& down() const { return down_; }

  /// Adds a ladder; the share of its neutral form that is free in the water.
  Number add(const Number& molality, const LadderOf<Number>& ladder) {
    if (ladder.first == 0 && ladder.steps <= 2) return add_acid(molality, ladder);
    return add_any(molality, ladder);
  }

 private:
  /// As most are: one or two protons from the neutral form.
  Number add_acid(const Number& molality, const LadderOf<Number>& ladder) {
    const Number once = ladder.K[0] * powers_[-1];
    Moments<Number> anions(once, 1);
    if (ladder.steps == 2) anions.add(Moments<Number>(ladder.K[0] * ladder.K[1] * powers_[-2], 2));
    const Number share = 1 / (anions.one + ladder.neutral_weight);  // which cannot be small
    down_.add_alone(molality, anions, share);
    return share;
  }
  Number add_any(const Number& molality, const LadderOf<Number>& ladder) {
    const int last = ladder.first - ladder.steps;
    LadderWalk<Number> walk(ladder, powers_);
    if (ladder.first <= 0) {
      const bool starts_neutral = ladder.first == 0;
      if (starts_neutral) walk.lose_proton();
      const auto anions = walk.sum_to(last);
      const Number share = 1 / in_range(starts_neutral ? anions.one + ladder.neutral_weight : anions.one);
      down_.add_alone(molality, anions, share);
      return starts_neutral ? share : Number(0);
    }
    const auto cations = walk.sum_to(last > 1 ? last : 1);
    Number neutral = Number(0);
    if (last <= 0) {
      walk.lose_proton();
      neutral = walk.frequency();
    }
    if (last >= 0) {
      const Number share = 1 / in_range(cations.one + neutral * ladder.neutral_weight);
      up_.add_alone(molality, cations, share);
      return neutral * share;
    }
    walk.lose_proton();
    const auto anions = walk.sum_to(last);
    const Number share = 1 / in_range(cations.one + anions.one + neutral * ladder.neutral_weight);
    const Number z = (cations.z - anions.z) * share, z2 = (cations.z2 + anions.z2) * share;
    up_.add(molality, cations, share, z, z2);
    down_.add(molality, anions, share, -z, z2);
    return neutral * share;
  }
  const Number& in_range(const Number& sum) {
    constexpr double least = 1e-50 / ChargePowers<Number>::far;
    hold_ = hold_ & (sum > Number(least)) & (sum < Number(1 / least));
    return sum;
  }
  const ChargePowers<Number>& powers_;
  SideOf<Number> up_, down_;
  decltype(Number() < Number()) hold_;
};

/// The averages of one ladder that alone was added, one mole; `slope_one` is d ln γ/du of a single charge.
template <class Number>
MeanChargeOf<Number> averages(const LadderTotals<Number>& one, const Number& neutral, const Number& slope_one) {
  const auto &up = one.up(), &down = one.down();
  MeanChargeOf<Number> mean;
  mean.z = up.charge - down.charge, mean.z_by_x = up.by_x + down.by_x;
  mean.z_by_u = slope_one * (down.by_s - up.by_s);
  mean.up = up.charge, mean.up_by_x = up.by_x, mean.up_by_u = -slope_one * up.by_s;
  mean.down = down.charge, mean.down_by_x = -down.by_x, mean.down_by_u = -slope_one * down.by_s;
  mean.z2 = up.square + down.square, mean.z2_by_x = up.by_s - down.by_s;
  mean.z2_by_u = -slope_one * (up.square_by_s + down.square_by_s);
  mean.slope = slope_one * mean.z2;
  mean.neutral = neutral;
  return mean;
}

}  // namespace counterion::chemistry
