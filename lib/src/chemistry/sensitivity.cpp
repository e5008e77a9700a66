// SPDX-License-Identifier: MIT
#include <counterion/chemistry/derivatives.hpp>
#include <counterion/chemistry/solution.hpp>

#include <functional>
#include <stdexcept>

namespace counterion {
namespace {

using chemistry::Derivatives;
using chemistry::Mixture;
using chemistry::Shift;

/// A mixture and its water as they would be a little aside.
struct Aside {
  Mixture mixture;
  Water water;
};
using Move = std::function<Aside(double)>;

/// The way for models whose coefficients move with the composition: solved again on both sides, at
/// steps that move the pH by about 0.001 and 0.002, extrapolated to none.
Shift by_solving(const Move& move, const Shift& nearly, const chemistry::SpecificIonModel& model,
                 double largest) {
  const double step = std::min(2e-3 / std::max(std::abs(nearly.x), 1e-300), largest);
  const auto slope = [&](double by) {
    const auto solve = [&](double there) {
      const Aside aside = move(there);
      return chemistry::solve(aside.mixture, aside.water,
                              chemistry::SpecificIonModel{aside.water, model.interactions});
    };
    const chemistry::Root after = solve(by), before = solve(-by);
    return Shift{(after.x - before.x) / (2 * by), (after.u - before.u) / (2 * by)};
  };
  const Shift near = slope(0.5 * step), far = slope(step);
  return {(4 * near.x - far.x) / 3, (4 * near.u - far.u) / 3};
}

/// The shift that `exact` names, or where the coefficients themselves move, the one found by solving.
template <class Exact>
Sensitivity sensitivity(const Solution& solution, double u, const Move& move, double largest,
                        const Exact& exact) {
  const Shift shift = chemistry::with_model(
      model_choice(solution.conditions()), [&](const auto& model) -> Shift {
        const auto settled = chemistry::settle(solution.mixture(), solution.water(), model);
        const Derivatives derivatives(settled.mixture, solution.water(), settled.model, settled.root);
        const Shift found = exact(derivatives, settled.mixture, settled.model);
        if constexpr (std::is_same_v<std::decay_t<decltype(model)>, chemistry::SpecificIonModel>)
          return by_solving(move, found, model, largest);
        else
          return found;
      });
  return {-shift.x / chemistry::ln10, 2 * u * shift.u};
}

/// The solvent at a temperature a little aside, where the conditions do not fix it.
Water water_aside(const Conditions& conditions, double by) {
  return conditions.water.value_or(chemistry::water_at(in_celsius(conditions.temperature) + by));
}

}  // namespace

Sensitivity Solution::by_amount(std::size_t position) const {
  const Amount& amount = amounts_.at(position);
  const auto* ion = std::get_if<StrongIon>(&amount.what);
  const bool is_protolyte = std::holds_alternative<Protolyte>(amount.what);
  const std::size_t part = place_among_its_kind(position);
  const Move move = [&](double by) {
    Aside aside{mixture_, water_};
    if (ion) aside.mixture.add_ion(ion->charge, by, ion->name);
    else if (is_protolyte) aside.mixture.protolytes[part].molality += by;
    else aside.mixture.polymers[part].molality += by;
    return aside;
  };
  // A saturated solution does not feel more of it, so that no step is too long but for the edge.
  const double molality = in_mol_per_kg(amount.molality);
  const double largest = std::min(is_protolyte && is_saturated(position) ? 1e-7 : 1e-3,
                                  molality > 0 ? 0.3 * molality : 1e-9);
  return sensitivity(*this, root_.u, move, largest, [&](const auto& derivatives, const auto&, const auto&) {
    return ion            ? derivatives.by_ion(ion->charge)
           : is_protolyte ? derivatives.by_molality(part)
                          : derivatives.by_sites(part);
  });
}

Sensitivity Solution::by_pK(std::size_t position, std::size_t step) const {
  const auto* protolyte = std::get_if<Protolyte>(&amounts_.at(position).what);
  const bool inert = std::holds_alternative<StrongIon>(amounts_[position].what);
  if (inert || step >= (protolyte ? protolyte->steps().size() : 1))
    throw std::out_of_range("there is no such pK in the solution");
  const std::size_t part = place_among_its_kind(position);
  const Move move = [&](double by) {
    Aside aside{mixture_, water_};
    if (protolyte) aside.mixture.protolytes[part].ladder.K[step] *= std::pow(10.0, -by);
    else aside.mixture.polymers[part].polymer.pK0 += by;
    return aside;
  };
  return sensitivity(*this, root_.u, move, 1e-2, [&](const auto& derivatives, const auto&, const auto&) {
    return protolyte ? derivatives.by_pK(part, step) : derivatives.by_pK0(part);
  });
}

Sensitivity Solution::by_strong_charge() const {
  const Move move = [&](double by) {
    Aside aside{mixture_, water_};
    aside.mixture.add_ion(1, by, "sodium");
    return aside;
  };
  return sensitivity(*this, root_.u, move, 1e-3, [](const auto& derivatives, const auto&, const auto&) {
    return derivatives.by_ion(1);
  });
}

Sensitivity Solution::by_temperature() const {
  const double kelvin = in_celsius(conditions_.temperature) + ice_point_kelvin;
  const double strong = mixture_.strong_charge - mixture_of(amounts_, kelvin).strong_charge;
  const Move move = [&](double by) {
    Aside aside{mixture_of(amounts_, kelvin + by), water_aside(conditions_, by)};
    aside.mixture.add_strong_charge(strong);
    return aside;
  };
  constexpr double step = 0.01;
  const auto exact = [&](const auto& derivatives, const Mixture&, const auto& model) {
    const auto balance_at = [&](double by) {
      const Aside aside = move(by);
      auto there = model;
      if constexpr (requires { there.water; }) there.water = aside.water;
      return derivatives.balance_of(aside.mixture, aside.water, there);
    };
    const Shift shift = derivatives.between(balance_at(-step), balance_at(step));
    return Shift{shift.x / (2 * step), shift.u / (2 * step)};
  };
  return sensitivity(*this, root_.u, move, 1, exact);
}

}  // namespace counterion
