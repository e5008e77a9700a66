// SPDX-License-Identifier: MIT
// The coupled Newton solve of solve.hpp in lanes.
#pragma once

#include <counterion/chemistry/solve.hpp>

#include <limits>

#include "lane_mixture.hpp"

namespace counterion::chemistry {

template <class Batch>
class LaneSolver {
 public:
  using Mask = typename Batch::batch_bool_type;
  static constexpr std::size_t width = Batch::size;

  explicit LaneSolver(const LaneProblem& problem) : problem_(problem), mixture_(problem) {}

  /// As many variants as there are lanes.
  void solve(std::size_t first, LaneResults results) {
    mixture_.load(first);
    const Mask fit = mixture_.fit();
    const Mask settled = with_lane_model(problem_, [this](const auto& model) { return newton(model); });
    const Batch none = Batch(std::numeric_limits<double>::quiet_NaN()), ph = -log(h_) / ln10;
    select(settled, ph, none).store_unaligned(results.ph);
    if (results.ionic_strength != nullptr)
      select(settled, u_ * u_, none).store_unaligned(results.ionic_strength);
    for (std::size_t lane = 0; lane < width; ++lane)
      results.end[lane] = !fit.get(lane)       ? LaneEnd::bad_input
                          : settled.get(lane) ? LaneEnd::solved
                                              : LaneEnd::careful;
  }

 private:
  /// Coupled Newton from the pattern's root; where it has settled. Lanes that have stand still.
  template <class Model>
  Mask newton(const Model& model) {
    constexpr int most = 20;
    const double small = problem_.is_plain ? 3e-6 : NewtonStep<Batch>::rounding;
    const SolventOf<Batch> solvent(problem_.water, mixture_.solutes());
    const Batch bound = 1e9 * (1 + mixture_.charge_scale()), low = solvent.Kw / bound;
    h_ = between(Batch(problem_.start_h), low, bound);
    u_ = Batch(problem_.start_u);
    Batch reach = Batch(8), last = Batch(0);
    Mask open = mixture_.fit(), settled = Mask(false);
    for (int pass = 0; pass < most && any(open); ++pass) {
      BalanceOf<Batch> b;
      open = open & add_all(b, solvent, model.at(u_));
      const NewtonStep<Batch> step(b, u_, reach);
      open = open & (step.x - step.x == step.u - step.u);  // both are numbers
      const Mask last_one = open & step.is_last(model, small);
      reach = select(step.x * last < Batch(0), 0.5 * reach, reach);
      last = step.x;
      h_ = select(open, between(Batch(h_ * exp_of_step(step.x)), low, bound), h_);
      u_ = select(open, u_ + step.u, u_);
      settled = settled | last_one;
      open = open & !last_one;
    }
    return settled & (u_ * u_ <= Batch(most_ionic_strength));
  }
  template <class Policy>
  Mask add_all(BalanceOf<Batch>& sum, const SolventOf<Batch>& solvent, const Policy& gamma) const {
    const ChargePowers<Batch> powers(h_, gamma.inverse_one(), problem_.least_charge, problem_.largest_charge);
    const Mask hold = mixture_.add_to(sum, powers, h_, gamma, problem_.water);
    sum.add(water_ions(solvent, h_, gamma));
    sum.keep_ionic();
    return hold;
  }

  const LaneProblem& problem_;
  LaneMixture<Batch> mixture_;
  Batch h_, u_;
};

}  // namespace counterion::chemistry
