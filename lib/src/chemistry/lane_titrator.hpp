// SPDX-License-Identifier: MIT
// The amounts of amount_newton.hpp in lanes, for a whole titration curve.
#pragma once

#include <limits>

#include "lane_mixture.hpp"

namespace counterion::chemistry {

/// As many points of a titration curve as there are lanes.
template <class Batch>
class LaneTitrator {
 public:
  using Mask = typename Batch::batch_bool_type;
  static constexpr std::size_t width = Batch::size;

  explicit LaneTitrator(const LaneTitration& titration)
      : titration_(titration), base_(titration.base), more_(titration.more),
        trail_(titration.start_ph, titration.start) {
    base_.load(0);
    more_.load(0);
  }
  void titrate(const double* ph, double* amounts) {
    const Batch at = Batch::load_unaligned(ph), none = Batch(std::numeric_limits<double>::quiet_NaN());
    const Batch h = exp(-ln10 * at);
    Amounting<Batch> amount = trail_.at(at);
    const Mask settled = with_lane_model(
        titration_.base, [&](const auto& model) { return newton(model, h, amount); });
    double u[width];
    select(settled, amount.x, none).store_unaligned(amounts);
    amount.u.store_unaligned(u);
    for (std::size_t lane = 0; lane < width; ++lane)
      if (amounts[lane] == amounts[lane]) trail_.add(ph[lane], {amounts[lane], u[lane]});
  }

 private:
  template <class Model>
  Mask newton(const Model& model, const Batch& h, Amounting<Batch>& amount) const {
    constexpr int most = 20;
    const LaneProblem& base = titration_.base;
    const Dilution& dilution = titration_.dilution;
    const double small = base.is_plain ? 3e-6 : AmountStep<Batch>::rounding;
    SolventOf<Batch> solvent(base.water, Batch(dilution.solutes_before));
    Mask open = Mask(true), settled = Mask(false);
    for (int pass = 0; pass < most && any(open); ++pass) {
      const auto gamma = model.at(amount.u);
      const ChargePowers<Batch> powers(h, gamma.inverse_one(), base.least_charge, base.largest_charge);
      BalanceOf<Batch> before, more;
      open = open & base_.add_to(before, powers, h, gamma, base.water) &
             more_.add_to(more, powers, h, gamma, base.water) & (1 + amount.x * dilution.water_kg > Batch(0));
      solvent.solutes = dilution.solutes_at(amount.x);
      const AmountStep<Batch> step(dilution, amount, before, more, water_ions(solvent, h, gamma));
      open = open & (step.x - step.x == step.u - step.u);  // both are numbers
      const Mask last = open & step.is_last(model, small);
      const auto next = step.next();
      amount = {select(open, next.x, amount.x), select(open, next.u, amount.u)};
      settled = settled | last;
      open = open & !last;
    }
    return settled;
  }

  const LaneTitration& titration_;
  LaneMixture<Batch> base_, more_;
  Trail<Batch> trail_;
};

}  // namespace counterion::chemistry
