// SPDX-License-Identifier: MIT
// The coupled Newton solve of solve.hpp for as many variants at once as a register holds. Everything that is
// compiled here depends on the batch type, so that no code of one instruction set is taken for another's.
#pragma once

#include <counterion/chemistry/balance.hpp>
#include <counterion/chemistry/solve.hpp>

#include <xsimd/xsimd.hpp>

#include "lanes.hpp"

namespace counterion::chemistry {

template <class Batch>
class LaneSolver {
 public:
  using Mask = typename Batch::batch_bool_type;
  static constexpr std::size_t width = Batch::size;

  explicit LaneSolver(const LaneProblem& problem) : problem_(problem) {
    for (const auto& ladder : problem.ladders) {
      ladders_.emplace_back();
      for (const auto& constant : ladder.K) K_.emplace_back(constant.same);
    }
    polymers_.resize(problem.polymers.size());
  }

  /// As many variants as there are lanes.
  void solve(std::size_t first, LaneResults results) {
    load(first);
    const Mask settled = problem_.ideal ? newton(IdealModel{})
                                        : newton(DaviesModel{problem_.water, problem_.davies_held_beyond});
    const Batch none = Batch(std::numeric_limits<double>::quiet_NaN()), ph = -log(h_) / ln10;
    select(settled & fit_, ph, none).store_unaligned(results.ph);
    if (results.ionic_strength != nullptr)
      select(settled & fit_, u_ * u_, none).store_unaligned(results.ionic_strength);
    for (std::size_t lane = 0; lane < width; ++lane)
      results.end[lane] = !fit_.get(lane)      ? LaneEnd::bad_input
                          : settled.get(lane) ? LaneEnd::solved
                                              : LaneEnd::careful;
  }

 private:
  struct Ladder {
    Batch molality;
  };
  struct Polymer {
    Batch molality, pK0;
  };

  static Batch values_of(const Column& column, std::size_t first) {
    return column.values == nullptr ? Batch(column.same) : Batch::load_unaligned(column.values + first);
  }
  /// A molality; one that is none counts as zero, and its lane as unfit.
  Batch molality_of(const Column& column, std::size_t first) {
    const Batch values = values_of(column, first);
    return fit(values, (values >= Batch(0)) & (values <= Batch(1e6)));
  }
  Batch fit(const Batch& values, const Mask& are_fit) {
    fit_ = fit_ & are_fit;
    return select(are_fit, values, Batch(0));
  }
  void load(std::size_t first) {
    fit_ = Mask(true);
    load_ions(first);
    load_ladders(first);
    for (std::size_t i = 0; i < polymers_.size(); ++i) {
      const auto& from = problem_.polymers[i];
      const Batch pK0 = values_of(from.pK0, first);
      polymers_[i] = {molality_of(from.molality, first), fit(pK0, abs(pK0) <= Batch(60))};
      scale_ += polymers_[i].molality;
    }
  }
  void load_ions(std::size_t first) {
    const Batch strong = values_of(problem_.strong_charge, first);
    strong_charge_ = fit(strong, abs(strong) <= Batch(1e6));
    solutes_ = abs(strong_charge_);
    strong_ionic_ = 0.5 * solutes_;
    for (const auto& ion : problem_.ions) {
      const Batch molality = molality_of(ion.molality, first);
      const double z = ion.charge;
      strong_charge_ += z * molality;
      strong_ionic_ += 0.5 * z * z * molality;
      solutes_ += molality;
    }
    scale_ = abs(strong_charge_);
  }
  void load_ladders(std::size_t first) {
    Batch* K = K_.data();
    for (std::size_t i = 0; i < ladders_.size(); ++i) {
      const auto& from = problem_.ladders[i];
      ladders_[i].molality = molality_of(from.molality, first);
      if (!from.neutral.held) {
        const int last = from.first - static_cast<int>(from.K.size());
        const double most = std::max(std::abs(from.first), std::abs(last));
        solutes_ += ladders_[i].molality;
        scale_ += most * ladders_[i].molality;
      }
      for (const auto& constant : from.K) {
        if (constant.pK != nullptr) {
          const Batch pK = Batch::load_unaligned(constant.pK + first);
          *K = exp(-ln10 * (fit(pK, abs(pK) <= Batch(60)) + constant.shift));
        }
        ++K;
      }
    }
  }

  template <class Policy>
  BalanceOf<Batch> balance(const SolventOf<Batch>& solvent, const Policy& gamma, Mask& hold) const {
    BalanceOf<Batch> sum;
    const ChargePowers<Batch> powers(h_, gamma.inverse_one(), problem_.least_charge, problem_.largest_charge);
    LadderTotals<Batch> totals(powers);
    hold = Mask(true);
    const Batch* K = K_.data();
    for (std::size_t i = 0; i < ladders_.size(); ++i) {
      const auto& from = problem_.ladders[i];
      const LadderOf<Batch> ladder{from.first, K, static_cast<int>(from.K.size()), Batch(from.neutral.weight())};
      K += from.K.size();
      if (!from.neutral.is_limited()) totals.add(ladders_[i].molality, ladder);
      else hold = hold & add_limited(sum, powers, ladder, ladders_[i].molality, from.neutral, gamma.slope_one());
    }
    sum.add(totals, gamma.slope_one());
    hold = hold & totals.hold();
    sum.add(water_ions(solvent, h_, gamma));
    sum.add_strong(strong_charge_, strong_ionic_);
    for (std::size_t i = 0; i < polymers_.size(); ++i)
      sum.add(polymers_[i].molality, ionisation(problem_.polymers[i].polymer, polymers_[i].pK0, Batch(log(h_)),
                                                gamma.sqrt_ionic(), problem_.water));
    sum.keep_ionic();
    return sum;
  }
  static Mask add_limited(BalanceOf<Batch>& sum, const ChargePowers<Batch>& powers, const LadderOf<Batch>& ladder,
                          const Batch& molality, const NeutralForm& neutral, const Batch& slope_one) {
    LadderTotals<Batch> one(powers);
    const Batch share = one.add(Batch(1), ladder);
    ContributionOf<Batch> part;
    part.molality = molality;
    part.mean = averages(one, share, slope_one);
    limit<Batch>(part, {Batch(neutral.paired), Batch(neutral.solubility), neutral.held});
    sum.add(part.molality, part.mean);
    return one.hold();
  }

  /// Coupled Newton from the pattern's root; where it has settled. Lanes that have stand still.
  template <class Model>
  Mask newton(const Model& model) {
    constexpr int most = 20;
    const SolventOf<Batch> solvent(problem_.water, solutes_);
    const Batch bound = 50 * (1 + scale_), low = solvent.Kw / bound;
    h_ = between(Batch(problem_.start_h), low, bound);
    u_ = Batch(problem_.start_u);
    Batch reach = Batch(8), last = Batch(0);
    Mask open = fit_, settled = Mask(false);
    for (int pass = 0; pass < most && any(open); ++pass) {
      Mask hold;
      const BalanceOf<Batch> b = balance(solvent, model.at(u_), hold);
      const NewtonStep<Batch> step(b, u_, reach);
      open = open & hold & (step.x - step.x == step.u - step.u);  // both are numbers
      reach = select(step.x * last < Batch(0), 0.5 * reach, reach);
      last = step.x;
      h_ = select(open, between(Batch(h_ * exp_of_step(step.x)), low, bound), h_);
      u_ = select(open, u_ + step.u, u_);
      settled = settled | (open & step.is_last());
      open = open & !step.is_last();
    }
    return settled & (u_ * u_ <= Batch(most_ionic_strength));
  }

  const LaneProblem& problem_;
  std::vector<Ladder> ladders_;
  std::vector<Polymer> polymers_;
  std::vector<Batch> K_;
  Batch strong_charge_, strong_ionic_, solutes_, scale_, h_, u_;
  Mask fit_;
};

/// The last lanes solve some variants again where the count is no multiple of theirs.
template <class Batch>
void solve_in_lanes(const LaneProblem& problem, std::size_t first, std::size_t count, LaneResults results) {
  constexpr std::size_t width = Batch::size;
  LaneSolver<Batch> solver(problem);
  for (std::size_t i = 0; i < count; i += width) {
    const std::size_t at = i + width <= count ? i : count - width;
    solver.solve(first + at, {results.ph + at,
                              results.ionic_strength == nullptr ? nullptr : results.ionic_strength + at,
                              results.end + at});
  }
}

}  // namespace counterion::chemistry
