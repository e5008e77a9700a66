// SPDX-License-Identifier: MIT
// From where a batch stands to its target in a few additions, a reading after each, without
// overshoot.
#pragma once

#include <counterion/dosing/amounts.hpp>

namespace counterion {

/// What a plan may risk.
struct PlanOptions {
  double tolerance_ph = 0.1;  ///< inside target ± this the batch is done
  double most_overshoot =
      0.007;  ///< of one addition: the chance to end beyond the tolerance on the far side
  int most_additions = 3;
  double scale_g = usual_scale_g;
};

/// One addition, and the reading to expect after it.
struct PlannedAddition {
  double grams = 0;  ///< of stock, a whole number of the scale's steps
  double expected_ph = 0;
  double ph_low = 0, ph_high = 0;  ///< 90 % interval
};

/// The way to a target. The first addition is to be weighed; those after it are what the sums
/// expect, and are worked out anew from every reading.
struct Plan {
  Adjuster adjuster;
  double target = 0, tolerance = 0;
  bool done = false;         ///< as likely inside the tolerance as can be known: leave it alone
  double chance_inside = 0;  ///< that the batch as it stands lies inside the tolerance
  bool beyond = false;       ///< the batch lies past the target: this adjuster leads away from it
  bool too_fine = false;     ///< the next addition is less than the scale can weigh
  std::vector<PlannedAddition> additions;
};

/// At such a chance to be inside the tolerance a batch is left alone.
inline constexpr double sure_enough = 0.95;

/// The plan for one adjuster. The first addition is sized from the low end: no more than reaches
/// the target in the middle, and no more than would overshoot once in `most_overshoot`. `already`
/// counts the additions that were made.
Plan plan_for(const Batch& batch, double target, const Adjuster& adjuster, const Tables& tables,
              const PlanOptions& options = {}, int already = 0);

/// What bringing a batch back costs that has gone past its target.
struct Undo {
  double ph = 0;      ///< where it would stand
  Adjuster adjuster;  ///< that brings it back
  std::string name;
  std::optional<double> grams;      ///< of its stock; none where it cannot
  double ionic_strength_after = 0;  ///< mol/kg of water, both adjusters in it
  double salt_percent = 0;          ///< what the two leave behind, about, percent of the batch
  bool remake = false;              ///< better made anew
  std::string why;                  ///< in words
};

/// The cost of going past the target by `beyond_ph`, with the first of `backs` that brings it back;
/// empty where the adjuster does not lead there.
std::optional<Undo> undo_for(const Batch& batch, double target, const Adjuster& adjuster,
                             double beyond_ph, std::span<const Adjuster> backs,
                             const Tables& tables);

}  // namespace counterion
