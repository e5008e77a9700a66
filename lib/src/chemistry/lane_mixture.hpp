// SPDX-License-Identifier: MIT
// What is dissolved, for as many variants at once as a register holds. Everything that is compiled here and in
// the other files of the kernels depends on the batch type, so that no code of one instruction set is taken
// for another's.
#pragma once

#include <counterion/chemistry/balance.hpp>

#include <cstdint>
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
    Sums sums;  // not a member's: sums in memory would wait for one another
    load_ions(first, sums);
    load_ladders(first, sums);
    for (const auto& [place, constant] : varying_) {
      const Batch pK = read(constant->pK, first), taken = sums.take(pK, abs(pK) <= Batch(most_pK));
      K_[place] = constant->same * power_of_ten(Batch(constant->same_pK - taken));
    }
    for (std::size_t i = 0; i < polymers_.size(); ++i) {
      const auto& from = problem_.polymers[i];
      const Batch pK0 = values_of(from.pK0, first);
      polymers_[i] = {molality_of(from.molality, first, sums), sums.take(pK0, abs(pK0) <= Batch(most_pK))};
      sums.scale += polymers_[i].molality;
    }
    sums_ = sums;
  }
  /// Where all numbers were ones that a solution can have; the others count as zero.
  const Mask& fit() const { return sums_.fit; }
  const Batch& solutes() const { return sums_.solutes; }
  const Batch& charge_scale() const { return sums_.scale; }

  /// Adds everything but water's own ions; where nothing has left the range of doubles.
  template <class Policy>
  Mask add_to(BalanceOf<Batch>& sum, const ChargePowers<Batch>& powers, const Batch& h, const Policy& gamma,
              const Water& water) const {
    sum.add_strong(sums_.strong_charge, sums_.strong_ionic);
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
  struct Sums {
    Batch strong_charge, strong_ionic, solutes, scale;
    Mask fit = Mask(true);

    /// A number that does not fit counts as zero, and its lane as unfit.
    Batch take(const Batch& values, const Mask& are_fit) {
      fit = fit & are_fit;
      return select(are_fit, values, Batch(0));
    }
  };

  /// 10^x to 1e-11.
  static Batch power_of_ten(const Batch& x) {
    return all(abs(x) < Batch(0.1)) ? exp_of_step(Batch(ln10 * x)) : exp(ln10 * x);
  }
  /// The processor follows a few streams by itself; there may be a hundred columns.
  static Batch read(const double* column, std::size_t first) {
#if defined(__GNUC__)
    __builtin_prefetch(reinterpret_cast<const void*>(reinterpret_cast<std::uintptr_t>(column + first) + 256));
#endif
    return Batch::load_unaligned(column + first);
  }
  static Batch values_of(const Column& column, std::size_t first) {
    return column.values == nullptr ? Batch(column.same) : read(column.values, first);
  }
  static Batch molality_of(const Column& column, std::size_t first, Sums& sums) {
    const Batch values = values_of(column, first);
    return sums.take(values, (values >= Batch(0)) & (values <= Batch(most_molality)));
  }
  [[gnu::always_inline]] void load_ions(std::size_t first, Sums& sums) const {
    const Batch strong = values_of(problem_.strong_charge, first);
    sums.strong_charge = sums.take(strong, abs(strong) <= Batch(most_molality));
    sums.solutes = abs(sums.strong_charge);
    sums.strong_ionic = 0.5 * sums.solutes;
    for (const auto& ion : problem_.ions) {
      const Batch molality = molality_of(ion.molality, first, sums);
      const double z = ion.charge;
      sums.strong_charge += z * molality;
      sums.strong_ionic += 0.5 * z * z * molality;
      sums.solutes += molality;
    }
    sums.scale = abs(sums.strong_charge);
  }
  [[gnu::always_inline]] void load_ladders(std::size_t first, Sums& sums) {
    for (std::size_t i = 0; i < molality_.size(); ++i) {
      const auto& from = problem_.ladders[i];
      if (from.molality.values != nullptr) molality_[i] = molality_of(from.molality, first, sums);
      if (from.neutral.held) continue;
      const int last = from.first - static_cast<int>(from.K.size());
      sums.solutes += molality_[i];
      sums.scale += static_cast<double>(std::max(std::abs(from.first), std::abs(last))) * molality_[i];
    }
  }
  static Mask add_limited(BalanceOf<Batch>& sum, const ChargePowers<Batch>& powers,
                          const LadderOf<Batch>& ladder, const Batch& molality, const NeutralForm& neutral,
                          const Batch& slope_one) {
    LadderTotals<Batch> one(powers);
    const Batch share = one.add(Batch(1), ladder);
    ContributionOf<Batch> part;
    part.molality = molality;
    part.mean = averages(one, share, slope_one);
    limit<Batch>(part, {Batch(neutral.paired), Batch(neutral.solubility), neutral.held});
    sum.add(part.molality, part.mean);
    return one.hold() & (share > Batch(1e-150));  // which is squared
  }

  const LaneProblem& problem_;
  std::vector<Batch> molality_, weight_, K_;
  std::vector<Varying> varying_;
  std::vector<Polymer> polymers_;
  Sums sums_;
};

/// Calls `work` with the model that the kernels know by a flag.
template <class Work>
auto with_lane_model(const LaneProblem& problem, Work&& work) {
  return problem.ideal ? work(IdealModel{}) : work(DaviesModel{problem.water, problem.davies_held_beyond});
}

}  // namespace counterion::chemistry
