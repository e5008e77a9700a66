// SPDX-License-Identifier: MIT
// Grams of an adjuster that bring a batch to a pH.
#pragma once

#include <counterion/batch/calibrate.hpp>
#include <counterion/judgement/cautions.hpp>
#include <counterion/judgement/electrolyte.hpp>

#include <span>

namespace counterion {

/// The adjuster with the usual stock strength of the tables, or with the one behind its name:
/// "citric acid 50 %". Throws UnknownIngredient; BadInput when the tables give no stock strength
/// for it.
Adjuster adjuster_named(std::string_view ingredient, const Tables& tables);

/// Every adjuster of the tables, each with its usual stock strength, by id.
std::vector<Adjuster> adjusters_of(const Tables& tables);

/// A part of the amount: weigh it in, mix, read, and go on only by what was read.
struct Stage {
  double grams = 0;
  double expected_ph = 0;
};

/// What a scale can do for an amount.
struct Weighable {
  double step_ph =
      0;  ///< what one step of the scale moves the batch by, at the target or at the start
  bool too_coarse = false;  ///< one step moves it by more than half of the tolerance, or the amount
                            ///< is but a few steps
  std::optional<double> dilute_to_percent;  ///< the stock to make instead, of the ingredient as
                                            ///< supplied; none needed, or none would do
};

/// What of an adjuster reaches the target.
struct Adjustment {
  Adjuster adjuster;
  std::string name;
  double target = 0;
  bool possible = false;
  std::string why_not;               ///< in words, when not possible
  double reachable_end = 0;          ///< where the pH goes with very much of it
  double grams = 0;                  ///< of stock, for the batch
  double grams_low = 0;              ///< 90 % interval of the same
  std::optional<double> grams_high;  ///< none where no amount would be enough
  double percent = 0;                ///< of stock, in the finished formula
  double percent_of_ingredient = 0;  ///< of the ingredient as supplied, in the finished formula
  bool from_water = true;  ///< takes the place of water; otherwise comes on top of the batch
  double ph_after = 0;     ///< predicted again with the amount in the formula
  double ionic_strength_after = 0;  ///< mol/kg of water
  Electrolyte electrolyte_after;    ///< thickeners in that salt; lines as in the formula
  Weighable weighable;
  std::vector<Stage> stages;  ///< first parts that are safe to weigh without a reading between
  std::string withheld;       ///< why no grams are given: the move itself is the hazard
  std::vector<FiredCaution> cautions;  ///< that the adjuster brings into the formula
  std::vector<CheckedLimit> limits;    ///< that it makes the formula exceed
};

/// What to dose by.
struct DosingOptions {
  Judging judging;
  double tolerance_ph = 0.1;  ///< how near to the target is near enough
  double scale_g = usual_scale_g;
  std::string withheld;  ///< why no grams are given of anything; empty otherwise
};

/// A batch to be dosed: a formula with its phase and prediction, and what its readings have taught.
struct Batch {
  const Formula& formula;
  const WaterPhase& phase;
  const Prediction& prediction;
  const BatchKnowledge& knowledge;
};

/// The amounts of adjusters for one target, in the order given.
std::vector<Adjustment> adjustments_for(const Batch& batch, double target,
                                        std::span<const Adjuster> adjusters, const Tables& tables,
                                        const DosingOptions& options = {});

/// The amount of one adjuster for one target, of a batch without readings.
Adjustment adjustment_for(const Formula& formula, const WaterPhase& phase,
                          const Prediction& prediction, double target, const Adjuster& adjuster,
                          const Tables& tables, const Judging& judging = {});

/// Percent of stock in the finished formula that brings a batch to a pH, were its water phase to
/// hold `hidden_charge` (mol/kg of water) more than it is known to; to the last digits of the
/// prediction. Empty where none does.
struct ExactDose {
  double percent = 0;
  bool from_water = true;
  double ph_per_percent = 0;  ///< how fast it moves there
};
std::optional<ExactDose> exact_dose(const Batch& batch, double ph, const Adjuster& adjuster,
                                    const Tables& tables, double hidden_charge = 0);

/// Grams of stock for the batch of a formula, from its percent in the finished formula.
double stock_grams(const Formula& formula, const ExactDose& dose);

}  // namespace counterion
