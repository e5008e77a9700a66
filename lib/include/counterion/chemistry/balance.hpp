// SPDX-License-Identifier: MIT
// The one equation: electroneutrality of the water phase, with its ionic strength,
//   h/γ - Kw a_w/(h γ) + Σ m z̄(h, I) + s = 0      (mol per kg of water).
#pragma once

#include <counterion/chemistry/charge.hpp>
#include <counterion/chemistry/ladder_totals.hpp>
#include <counterion/chemistry/water_ions.hpp>

namespace counterion::chemistry {

/// Whether a part has a limit, or more charges than the powers that ladders share.
inline bool is_special(const Dissolved& part) {
  return part.neutral.is_limited() || part.ladder.largest_charge() > ChargePowers<double>::most;
}

/// The charges that the ladders of mixtures reach, for the powers that they share.
struct Reach {
  int least = 0, largest = 0;
  bool is_plain = true;  ///< no part is special

  Reach() = default;
  explicit Reach(const Mixture& mixture) { include(mixture); }
  void include(const Mixture& mixture) {
    for (const auto& part : mixture.protolytes) {
      is_plain = is_plain && !is_special(part);
      if (part.ladder.largest_charge() > ChargePowers<double>::most) continue;
      largest = std::max(largest, part.ladder.charge);
      least = std::min(least, part.ladder.charge - static_cast<int>(part.ladder.K.size()));
    }
  }
};

/// The water of one mixture.
struct Solvent : SolventOf<double> {
  Reach reach;

  Solvent(const Water& constants, const Mixture& mixture)
      : SolventOf(constants, mixture.solutes()), reach(mixture) {}
};

/// Both sides of the equation at (x, u), the ionic strength that follows, and all slopes.
template <class Number>
struct BalanceOf {
  Number positive = Number(0), positive_by_x = positive, positive_by_u = positive;  ///< mol of charge per kg
  Number negative = positive, negative_by_x = positive, negative_by_u = positive;
  Number ionic = positive, ionic_by_x = positive, ionic_by_u = positive;  ///< ½ Σ z² m
  Number negative_by_solutes = positive;  ///< OH- through the water activity

  Number charge() const { return positive - negative; }
  Number charge_by_x() const { return positive_by_x - negative_by_x; }
  Number charge_by_u() const { return positive_by_u - negative_by_u; }

  void add(const Number& molality, const MeanChargeOf<Number>& mean) {
    positive += molality * mean.up;
    positive_by_x += molality * mean.up_by_x;
    positive_by_u += molality * mean.up_by_u;
    negative += molality * mean.down;
    negative_by_x += molality * mean.down_by_x;
    negative_by_u += molality * mean.down_by_u;
    const Number half = 0.5 * molality;
    ionic += half * mean.z2;
    ionic_by_x += half * mean.z2_by_x;
    ionic_by_u += half * mean.z2_by_u;
  }
  void add(const ContributionOf<Number>& in_play) { add(in_play.molality, in_play.mean); }
  void add(const LadderTotals<Number>& ladders, const Number& slope_one) {
    const auto &up = ladders.up(), &down = ladders.down();
    positive += up.charge, positive_by_x += up.by_x, positive_by_u -= slope_one * up.by_s;
    negative += down.charge, negative_by_x -= down.by_x, negative_by_u -= slope_one * down.by_s;
    ionic += 0.5 * (up.square + down.square);
    ionic_by_x += 0.5 * (up.by_s - down.by_s);
    ionic_by_u -= 0.5 * slope_one * (up.square_by_s + down.square_by_s);
  }
  void add(const WaterIonsOf<Number>& ions) {
    positive += ions.H, positive_by_x += ions.H, positive_by_u += ions.H_by_u;
    negative += ions.OH, negative_by_x += ions.OH_by_x, negative_by_u += ions.OH_by_u;
    negative_by_solutes += ions.OH_by_solutes;
    ionic += 0.5 * (ions.H + ions.OH);
    ionic_by_x += 0.5 * (ions.H + ions.OH_by_x);
    ionic_by_u += 0.5 * (ions.H_by_u + ions.OH_by_u);
  }
  /// The chain itself is no ion of the solution; the counter-ions that it holds drop out of it.
  void add(const Number& molality, const PolymerStateOf<Number>& sites) {
    negative += molality * sites.ionised;
    negative_by_x += molality * sites.ionised_by_x;
    negative_by_u += molality * sites.ionised_by_u;
    ionic -= 0.5 * molality * sites.bound;
    ionic_by_x -= 0.5 * molality * sites.bound_by_x;
    ionic_by_u -= 0.5 * molality * sites.bound_by_u;
  }
  void add_strong(const Number& charge, const Number& ionic_strength) {
    positive += most_of(charge, Number(0));
    negative -= least_of(charge, Number(0));
    ionic += ionic_strength;
  }
  /// Far from the root a chain has no counter-ions yet that could drop out.
  void keep_ionic() { ionic = most_of(ionic, Number(0)); }
};
using Balance = BalanceOf<double>;

/// A ladder of a mixture in numbers.
inline LadderOf<double> ladder_of(const Dissolved& part) {
  return {part.ladder.charge, part.ladder.K.data(), static_cast<int>(part.ladder.K.size()), part.neutral.weight()};
}

/// Adds a part whose neutral form has a limit, or which has more charges than there are powers; false as below.
template <class Policy>
[[gnu::noinline]] bool add_special(Balance& sum, const Dissolved& part, const ChargePowers<double>& powers,
                                   double h, const Policy& gamma) {
  const LadderOf<double> ladder = ladder_of(part);
  if (!powers.cover(ladder.first, ladder.last())) {
    sum.add(contribution(part, h, gamma));
    return true;
  }
  LadderTotals<double> one(powers);
  const double neutral = one.add(1, ladder);
  sum.add(contribution(part, averages(one, neutral, gamma.slope_one())));
  return one.hold();
}

/// Adds all ladders from powers that they share; false where those leave the range of doubles.
template <class Policy>
[[gnu::always_inline]] inline bool add_by_powers(Balance& sum, const Mixture& mixture, const Reach& reach,
                                                 double h, const Policy& gamma) {
  const ChargePowers<double> powers(h, gamma.inverse_one(), reach.least, reach.largest);
  LadderTotals<double> totals(powers);
  bool hold = true;
  for (const auto& part : mixture.protolytes) {
    const bool is_plain = reach.is_plain || !is_special(part);
    if (is_plain) totals.add(part.molality, ladder_of(part));
    else hold = add_special(sum, part, powers, h, gamma) && hold;
  }
  sum.add(totals, gamma.slope_one());
  return hold && totals.hold();
}

template <class Policy>
[[gnu::always_inline]] inline void add_ladders(Balance& sum, const Mixture& mixture, const Reach& reach,
                                               double h, const Policy& gamma) {
  if constexpr (knows_charge_alone<Policy>) {
    if (add_by_powers(sum, mixture, reach, h, gamma)) return;
    sum = Balance{};
  }
  for (const auto& part : mixture.protolytes) sum.add(contribution(part, h, gamma));
}

/// What a mixture brings beside water's own ions, at hydrogen-ion activity h.
template <class Policy>
[[gnu::always_inline]] inline Balance dissolved(const Mixture& mixture, const Reach& reach,
                                                const Water& water, double h, const Policy& gamma) {
  Balance sum;
  add_ladders(sum, mixture, reach, h, gamma);
  sum.add_strong(mixture.strong_charge, mixture.strong_ionic);
  for (const auto& part : mixture.polymers)
    sum.add(part.molality, ionisation(part.polymer, std::log(h), gamma.sqrt_ionic(), water));
  return sum;
}

/// The balance of a mixture at hydrogen-ion activity h.
template <class Policy>
Balance balance(const Mixture& mixture, const Solvent& solvent, double h, const Policy& gamma) {
  Balance sum = dissolved(mixture, solvent.reach, solvent.water, h, gamma);
  sum.add(water_ions(solvent, h, gamma));
  sum.keep_ionic();
  return sum;
}

}  // namespace counterion::chemistry
