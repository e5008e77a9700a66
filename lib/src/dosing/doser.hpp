// SPDX-License-Identifier: MIT
// The sums for one adjuster.
#pragma once

#include <counterion/dosing/amounts.hpp>

namespace counterion {

/// An adjuster and a batch: a first amount from the phase as it is, made exact on the formula with
/// it.
class Doser {
 public:
  Doser(const Batch& batch, const Adjuster& adjuster, const Tables& tables);

  /// The dose that brings the batch to a pH; empty where none does. Goes on top of the batch where
  /// the water is not enough.
  std::optional<ExactDose> dose(double ph, double hidden_charge = 0);
  /// Where the pH goes with very much of it.
  double end() const;
  Formula with(const ExactDose& dose) const;
  std::optional<WaterPhase> phase_with(const ExactDose& dose, Sureness sureness) const;
  /// The phase of the formula with the dose that was found last, its sureness left aside.
  const std::optional<WaterPhase>& last_phase() const { return last_; }
  /// The pH with a part of a dose, the phase's surroundings left as they are.
  double ph_with_share(const ExactDose& dose, double share) const;

 private:
  std::optional<double> first_grams(double ph, double hidden_charge) const;
  double ph_with(double grams) const;
  double ph_with(const ExactDose& dose, double hidden_charge);
  std::optional<ExactDose> refined(double grams, double ph, double hidden_charge);
  double ph_per_gram(double grams) const;
  void take_from_water(bool from_water);
  double most() const { return from_water_ ? 0.99 * replaceable_ * share() : 5000; }
  double share() const { return adjuster_.stock_percent / 100; }
  double percent_of(double grams) const;

  const Batch& batch_;
  const Adjuster& adjuster_;
  const Tables& tables_;
  const Material& material_;
  chemistry::Addition addition_;
  double replaceable_ =
      0;  ///< grams of ingredient and its stock's water that water makes room for, per kg of water
  bool from_water_ = true;
  std::optional<WaterPhase> last_;
};

}  // namespace counterion
