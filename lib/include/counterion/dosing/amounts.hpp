// SPDX-License-Identifier: MIT
// Grams of an adjuster that bring a batch to a pH.
#pragma once

#include <counterion/batch/adjusted_formula.hpp>
#include <counterion/judgement/cautions.hpp>

namespace counterion {

/// The adjuster with the usual stock strength of the tables.
/// Throws UnknownIngredient; BadInput when the tables give no stock strength for it.
Adjuster adjuster_named(std::string_view ingredient, const Tables& tables);

/// A part of the amount: weigh it in, mix, read, and go on only by what was read.
struct Stage {
  double grams = 0;
  double expected_ph = 0;
};

/// What of an adjuster reaches the target.
struct Adjustment {
  Adjuster adjuster;
  std::string name;
  double target = 0;
  bool possible = false;
  std::string why_not;           ///< in words, when not possible
  double reachable_end = 0;      ///< where the pH goes with very much of it
  double grams = 0;              ///< of stock, for the batch
  double grams_low = 0;          ///< 90 % interval of the same
  std::optional<double> grams_high;  ///< none where no amount would be enough
  double percent = 0;            ///< of stock, in the finished formula
  double percent_of_ingredient = 0;  ///< of the ingredient as supplied, in the finished formula
  bool from_water = true;        ///< takes the place of water; otherwise comes on top of the batch
  double ph_after = 0;           ///< predicted again with the amount in the formula
  std::vector<Stage> stages;     ///< first parts that are safe to weigh without a reading between
  std::string withheld;          ///< why no grams are given: the move itself is the hazard
  std::vector<FiredCaution> cautions;  ///< that the adjuster brings into the formula
  std::vector<CheckedLimit> limits;    ///< that it makes the formula exceed
};

/// The amount of one adjuster for one target. The phase and prediction are those of the formula.
Adjustment adjustment_for(const Formula& formula, const WaterPhase& phase,
                          const Prediction& prediction, double target, const Adjuster& adjuster,
                          const Tables& tables, const Judging& judging = {});

}  // namespace counterion
