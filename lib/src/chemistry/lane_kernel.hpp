// SPDX-License-Identifier: MIT
// The coupled Newton solve of solve.hpp for as many variants at once as a register holds. Everything that is
// compiled here depends on the batch type, so that no code of one instruction set is taken for another's.
#pragma once

#include <counterion/chemistry/balance.hpp>
#include <counterion/chemistry/solve.hpp>

#include <xsimd/xsimd.hpp>

#include "lanes.hpp"

namespace counterion::chemistry {

/// A structure's numbers for as many variants as there are lanes.
template <class Batch>
class LaneMixture {
 public:
  using Mask = typename Batch::batch_bool_type;

  /// Loads what is the same in all variants; the rest is that of the first ones.
  explicit LaneMixture(const LaneProblem& problem) : problem_(problem), polymers_(problem.polymers.size()) {
    molality_.reserve(problem.ladders.size());
    weight_.reserve(problem.ladders.size());
    for (const auto& ladder : problem.ladders) {
      molality_.emplace_back(ladder.molality.same);
      weight_.emplace_back(ladder.neutral.weight());
      for (const auto& constant : ladder.K) {
        if (constant.pK != nullptr) varying_.push_back({K_.size(), &constant});
        K_.emplace_back(constant.same);
      }
    }
  }
  /// Takes the variants from `first` on.
  void load(std::size_t first) {
    fit_ = Mask(true);
    load_ions(first);
    load_ladders(first);
    for (const auto& [place, constant] : varying_) {
      const Batch pK = read(constant->pK, first);
      K_[place] = exp(-ln10 * (fit(pK, abs(pK) <= Batch(60)) + constant->shift));
    }
    for (std::size_t i = 0; i < polymers_.size(); ++i) {
      const auto& from = problem_.polymers[i];
      const Batch pK0 = values_of(from.pK0, first);
      polymers_[i] = {molality_of(from.molality, first), fit(pK0, abs(pK0) <= Batch(60))};
      scale_ += polymers_[i].molality;
    }
  }
  /// Where all numbers were ones that a solution can have; the others count as zero.
  const Mask& fit() const { return fit_; }
  const Batch& solutes() const { return solutes_; }
  const Batch& charge_scale() const { return scale_; }

  /// Adds everything but water's own ions; where nothing has left the range of doubles.
  template <class Policy>
  Mask add_to(BalanceOf<Batch>& sum, const ChargePowers<Batch>& powers, const Batch& h, const Policy& gamma,
              const Water& water) const {
    sum.add_strong(strong_charge_, strong_ionic_);
    if (molality_.empty() && polymers_.empty()) return Mask(true);
    LadderTotals<Batch> totals(powers);
    Mask hold = Mask(true);
    const Batch* K = K_.data();
    for (std::size_t i = 0; i < molality_.size(); ++i) {
      const auto& from = problem_.ladders[i];
      const LadderOf<Batch> ladder{from.first, K, static_cast<int>(from.K.size()), weight_[i]};
      K += from.K.size();
      if (!from.neutral.is_limited()) totals.add(molality_[i], ladder);
      else hold = hold & add_limited(sum, powers, ladder, molality_[i], from.neutral, gamma.slope_one());
    }
    sum.add(totals, gamma.slope_one());
    for (std::size_t i = 0; i < polymers_.size(); ++i)
      sum.add(polymers_[i].molality, ionisation(problem_.polymers[i].polymer, polymers_[i].pK0, Batch(log(h)),
                                                gamma.sqrt_ionic(), water));
    return hold & totals.hold();
  }

 private:
  struct Varying {
    std::size_t place;
    const ConstantColumn* constant;
  };
  struct Polymer {
    Batch molality, pK0;
  };

  /// The processor follows a few streams by itself; there may be a hundred columns.
  static Batch read(const double* column, std::size_t first) {
#if defined(__GNUC__)
    __builtin_prefetch(column + first + 32);
#endif
    return Batch::load_unaligned(column + first);
  }
  static Batch values_of(const Column& column, std::size_t first) {
    return column.values == nullptr ? Batch(column.same) : read(column.values, first);
  }
  Batch molality_of(const Column& column, std::size_t first) {
    const Batch values = values_of(column, first);
    return fit(values, (values >= Batch(0)) & (values <= Batch(1e6)));
  }
  Batch fit(const Batch& values, const Mask& are_fit) {
    fit_ = fit_ & are_fit;
    return select(are_fit, values, Batch(0));
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
    for (std::size_t i = 0; i < molality_.size(); ++i) {
      const auto& from = problem_.ladders[i];
      if (from.molality.values != nullptr) molality_[i] = molality_of(from.molality, first);
      if (from.neutral.held) continue;
      const int last = from.first - static_cast<int>(from.K.size());
      solutes_ += molality_[i];
      scale_ += static_cast<double>(std::max(std::abs(from.first), std::abs(last))) * molality_[i];
    }
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

  const LaneProblem& problem_;
  std::vector<Batch> molality_, weight_, K_;
  std::vector<Varying> varying_;
  std::vector<Polymer> polymers_;
  Batch strong_charge_, strong_ionic_, solutes_, scale_;
  Mask fit_;
};

/// Calls `work` with the model that the kernels know by a flag.
template <class Work>
auto with_lane_model(const LaneProblem& problem, Work&& work) {
  return problem.ideal ? work(IdealModel{}) : work(DaviesModel{problem.water, problem.davies_held_beyond});
}

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
    constexpr double small = 3e-6;
    const SolventOf<Batch> solvent(problem_.water, mixture_.solutes());
    const Batch bound = 50 * (1 + mixture_.charge_scale()), low = solvent.Kw / bound;
    h_ = between(Batch(problem_.start_h), low, bound);
    u_ = Batch(problem_.start_u);
    Batch reach = Batch(8), last = Batch(0);
    Mask open = mixture_.fit(), settled = Mask(false);
    for (int pass = 0; pass < most && any(open); ++pass) {
      BalanceOf<Batch> b;
      open = open & add_all(b, solvent, model.at(u_));
      const NewtonStep<Batch> step(b, u_, reach);
      open = open & (step.x - step.x == step.u - step.u);  // both are numbers
      reach = select(step.x * last < Batch(0), 0.5 * reach, reach);
      last = step.x;
      h_ = select(open, between(Batch(h_ * exp_of_step(step.x)), low, bound), h_);
      u_ = select(open, u_ + step.u, u_);
      settled = settled | (open & step.is_last(small));
      open = open & !step.is_last(small);
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
      const auto next = step.next();
      amount = {select(open, next.x, amount.x), select(open, next.u, amount.u)};
      settled = settled | (open & step.is_last());
      open = open & !step.is_last();
    }
    return settled;
  }

  const LaneTitration& titration_;
  LaneMixture<Batch> base_, more_;
  Trail<Batch> trail_;
};

/// Calls `work` with the first of as many places as a batch has, until all `count` are done; the last batch
/// does some again where the count is no multiple of it.
template <class Batch, class Work>
void in_batches(std::size_t count, Work&& work) {
  constexpr std::size_t width = Batch::size;
  for (std::size_t i = 0; i < count; i += width) work(i + width <= count ? i : count - width);
}

template <class Batch>
void solve_in_lanes(const LaneProblem& problem, std::size_t first, std::size_t count, LaneResults results) {
  LaneSolver<Batch> solver(problem);
  in_batches<Batch>(count, [&](std::size_t at) {
    solver.solve(first + at, {results.ph + at,
                              results.ionic_strength == nullptr ? nullptr : results.ionic_strength + at,
                              results.end + at});
  });
}

template <class Batch>
void titrate_in_lanes(const LaneTitration& titration, const double* ph, std::size_t count, double* amounts) {
  LaneTitrator<Batch> titrator(titration);
  in_batches<Batch>(count, [&](std::size_t at) { titrator.titrate(ph + at, amounts + at); });
}

}  // namespace counterion::chemistry
