// SPDX-License-Identifier: MIT
// The balance solved for an amount: at a given pH it is linear in what is added, once √I is known.
#pragma once

#include <counterion/chemistry/amount_step.hpp>

#include <optional>

namespace counterion::chemistry {

/// Something added, per unit of itself: what it brings, and kilograms of water (negative where it
/// takes the place of water).
struct Addition {
  Mixture brings;
  double water_kg = 0;
};

/// The amount of an addition (units per kg of the base's water) that holds a hydrogen-ion activity, by coupled
/// Newton without a bracket: right where it answers, silent where it has not settled.
template <class Model>
class AmountNewton {
 public:
  AmountNewton(const Mixture& base, const Addition& addition, const Water& water, const Model& model)
      : base_(base), more_(addition.brings), model_(model), solvent_(water, base.solutes()), reach_(base),
        dilution_{addition.water_kg, addition.brings.solutes(), base.solutes()} {
    reach_.include(more_);
  }
  /// The amount that holds h, whether it can be added or not.
  std::optional<Amounting<double>> at(double h, Amounting<double> from) {
    constexpr int most = 20;
    for (int pass = 0; pass < most; ++pass) {
      if (!(1 + from.x * dilution_.water_kg > 0)) break;
      const auto gamma = model_.at(from.u);
      const Balance base = dissolved(base_, reach_, solvent_.water, h, gamma);
      const Balance more = dissolved(more_, reach_, solvent_.water, h, gamma);
      solvent_.solutes = dilution_.solutes_at(from.x);
      const AmountStep<double> step(dilution_, from, base, more, water_ions(solvent_, h, gamma));
      if (!std::isfinite(step.x) || !std::isfinite(step.u)) break;
      const bool last = step.is_last(model_, reach_.is_plain ? 3e-6 : step.rounding);
      from = step.next();
      if (last) return from;
    }
    return std::nullopt;
  }

 private:
  const Mixture &base_, &more_;
  const Model& model_;
  SolventOf<double> solvent_;
  Reach reach_;
  Dilution dilution_;
};

/// Where that starts when nothing else is known.
inline Amounting<double> first_guess(const Mixture& base) {
  return {0, std::sqrt(std::min(base.strong_ionic, 0.5) + 1e-4)};
}

}  // namespace counterion::chemistry
