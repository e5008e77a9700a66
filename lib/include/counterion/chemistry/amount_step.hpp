// SPDX-License-Identifier: MIT
// The balance solved for an amount at a given pH: one Newton step in the amount and the ionic strength.
#pragma once

#include <counterion/chemistry/balance.hpp>

#include <array>

namespace counterion::chemistry {

/// What of an addition no pH changes, per unit of it: kilograms of water, and moles of solutes in it and in
/// one kilogram of the water that it meets.
struct Dilution {
  double water_kg = 0, solutes = 0, solutes_before = 0;

  /// Molality of all solutes once there are x units of it.
  template <class Number>
  Number solutes_at(const Number& x) const {
    return (solutes_before + x * solutes) / (1 + x * water_kg);
  }
};

/// An amount x of an addition (units per kg of the water it meets) and u = √I of the mixture.
template <class Number>
struct Amounting {
  Number x{}, u{};
};

/// One Newton step in (x, u), from the charges and ionic strengths of what is there, of one unit of the
/// addition, and of water's own ions in the mixture; the first equation is linear in x but for the water's
/// activity. Far from the root u follows the ionic strength.
template <class Number>
struct AmountStep {
  Number x, u;

  AmountStep(const Dilution& dilution, const Amounting<Number>& now, const BalanceOf<Number>& base,
             const BalanceOf<Number>& more, const WaterIonsOf<Number>& ions)
      : now_(now) {
    const double W = dilution.water_kg;
    const Number water = 1 + now.x * W, inverse_water = 1 / water, free = ions.H - ions.OH;
    const Number solutes_by_x = (dilution.solutes - W * dilution.solutes_at(now.x)) * inverse_water;
    const Number OH_by_x = ions.OH_by_solutes * solutes_by_x;
    const Number g = base.charge() + now.x * more.charge() + water * free;
    const Number g_x = more.charge() + W * free - water * OH_by_x;
    const Number g_u = base.charge_by_u() + now.x * more.charge_by_u() + water * (ions.H_by_u - ions.OH_by_u);
    const Number dissolved = (base.ionic + now.x * more.ionic) * inverse_water;
    const Number ionic = dissolved + 0.5 * (ions.H + ions.OH), f = ionic - now.u * now.u;
    const Number f_x = (more.ionic - W * dissolved) * inverse_water + 0.5 * OH_by_x;
    const Number f_u = (base.ionic_by_u + now.x * more.ionic_by_u) * inverse_water +
                       0.5 * (ions.H_by_u + ions.OH_by_u) - 2 * now.u;
    const Number inverse = 1 / (g_x * f_u - g_u * f_x);
    x = (g_u * f - g * f_u) * inverse;
    u = (g * f_x - g_x * f) * inverse;
    near_ = abs(u) <= 0.5 * now.u;
    if (all(near_)) return;
    const Number follow = sqrt(most_of(ionic + f_x * (-g / g_x), Number(1e-8))) - now.u;
    x = select(near_, x, -g / g_x);
    u = select(near_, u, follow);
  }
  Amounting<Number> next() const { return {now_.x + x, now_.u + u}; }
  /// Whether the solve ends with this step; `small` as for `NewtonStep`, of the amount and of u.
  template <class Model>
  auto is_last(const Model& model, double small) const -> decltype(Number() < Number()) {
    const auto within = near_ & is_within(small);
    if (!any(within)) return within;
    const auto smooth = !model.bends_between(now_.u, Number(now_.u + u));
    return within & (smooth | is_within(rounding));
  }
  static constexpr double rounding = 1e-10;

 private:
  auto is_within(double small) const -> decltype(Number() < Number()) {
    return (abs(u) < small * now_.u) & (abs(x) < small * abs(now_.x + x) + 1e-13);
  }
  Amounting<Number> now_;
  decltype(Number() < Number()) near_;
};

/// The points of a titration curve found last, and where the next one lies by the cubic through them.
template <class Number>
class Trail {
 public:
  Trail(double ph, const Amounting<double>& known) : points_{{{ph, known}}} {}

  void add(double ph, const Amounting<double>& known) {
    newest_ = (newest_ + 1) % most;  // in place of the oldest
    points_[newest_] = {ph, known};
    size_ = std::min(size_ + 1, most);
  }
  Amounting<Number> at(const Number& ph) const {
    const auto differences = divided_differences();
    Amounting<Number> sum{Number(0), Number(0)};
    for (std::size_t i = size_; i-- > 0;) {
      const Number away = ph - points_[i].ph;
      sum.x = differences[i].x + sum.x * away;
      sum.u = differences[i].u + sum.u * away;
    }
    const auto [x, u] = points_[newest_].known;
    const auto near = (sum.u > Number(0.5 * u)) & (sum.u < Number(2 * u));
    return {select(near, sum.x, Number(x)), select(near, sum.u, Number(u))};
  }

 private:
  static constexpr std::size_t most = 4;
  struct Point {
    double ph;
    Amounting<double> known;
  };

  /// Newton's.
  std::array<Amounting<double>, most> divided_differences() const {
    std::array<Amounting<double>, most> d;
    for (std::size_t i = 0; i < size_; ++i) d[i] = points_[i].known;
    for (std::size_t order = 1; order < size_; ++order)
      for (std::size_t i = size_; i-- > order;) {
        const double apart = points_[i].ph - points_[i - order].ph;
        const double inverse = std::abs(apart) > 1e-6 ? 1 / apart : 0;  // the same pH twice tells no slope
        d[i] = {(d[i].x - d[i - 1].x) * inverse, (d[i].u - d[i - 1].u) * inverse};
      }
    return d;
  }

  std::array<Point, most> points_;
  std::size_t size_ = 1, newest_ = 0;
};

}  // namespace counterion::chemistry
