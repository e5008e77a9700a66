// SPDX-License-Identifier: MIT
// What an adjuster brings with it: cautions, limits, and stops for which no amount may be given.
#pragma once

#include <counterion/dosing/amounts.hpp>

namespace counterion {

/// The cautions of a batch as it is and at its target, against which those with an adjuster in it
/// are held.
class Consequences {
 public:
  Consequences(const Formula& formula, double predicted, double target, const Tables& tables,
               const Judging& judging)
      : predicted_(predicted),
        target_(target),
        tables_(tables),
        judging_(judging),
        now_(cautions_of(formula, predicted, predicted, tables)),
        at_target_(cautions_of(formula, target, target, tables)) {}

  /// A stop that the move brings, or into which it leads further, withholds the grams; of lesser
  /// cautions those are listed that the adjuster itself brings.
  void add(const Formula& adjusted, Adjustment& result) const;

 private:
  bool withholds(const FiredCaution& caution, std::size_t adjuster_line) const;

  double predicted_, target_;
  const Tables& tables_;
  const Judging& judging_;
  std::vector<FiredCaution> now_, at_target_;
};

}  // namespace counterion
