// SPDX-License-Identifier: MIT
// Mean charges of ladders and their slopes, summed, where γ depends on nothing but the charge.
#pragma once

#include <counterion/chemistry/charge_powers.hpp>
#include <counterion/chemistry/mean_charge.hpp>

namespace counterion::chemistry {

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
  /// The same where one form alone has a charge, a single one: `z` is its share.
  void add_single(const Number& molality, const Number& z) {
    const Number carried = molality * z, variance = carried - carried * z;
    charge += carried, square += carried;
    by_x += variance, by_s += variance, square_by_s += variance;
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
  [[gnu::always_inline]] Number add(const Number& molality, const LadderOf<Number>& ladder) {
    if (ladder.first == 0 && ladder.steps <= 2) return add_acid(molality, ladder);
    return add_any(molality, ladder);
  }

 private:
  /// As most are: one or two protons from the neutral form.
  [[gnu::always_inline]] Number add_acid(const Number& molality, const LadderOf<Number>& ladder) {
    // the sum of frequencies cannot be small here, and what is too large leaves no number
    const Number once = ladder.K[0] * powers_[-1];
    if (ladder.steps == 1) {
      const Number share = 1 / (once + ladder.neutral_weight);
      down_.add_single(molality, once * share);
      return share;
    }
    Moments<Number> anions(once, 1);
    anions.add(Moments<Number>(ladder.K[0] * ladder.K[1] * powers_[-2], 2));
    const Number share = 1 / (anions.one + ladder.neutral_weight);
    down_.add_alone(molality, anions, share);
    return share;
  }
  [[gnu::noinline]] Number add_any(const Number& molality, const LadderOf<Number>& ladder) {
    const int last = ladder.last();
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
