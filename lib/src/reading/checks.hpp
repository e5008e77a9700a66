// SPDX-License-Identifier: MIT
// What a check at the bench would find under each cause, and which check is worth its time.
#pragma once

#include <counterion/reading/explain.hpp>

namespace counterion {

/// Knows what checks find.
class CheckBench {
 public:
  CheckBench(const Formula& formula, const Tables& tables) : formula_(formula), tables_(tables) {}

  /// Whether this check shows that cause.
  bool shows(std::string_view check, const Hypothesis& cause) const {
    return cause.kind != "none" && row_of(cause).check == check;
  }
  /// Probability of a finding, were this the cause.
  double probability(const Finding& finding, const Hypothesis& cause) const;
  /// The checks that would tell these causes apart, the most useful for its time first.
  std::vector<AdvisedCheck> advised(const std::vector<Cause>& causes) const;
  /// Throws BadInput for findings of checks or mishaps that the tables do not have, and for lines
  /// and grams that mean nothing.
  void require_known(std::span<const Finding> findings) const;

 private:
  const tables::Mishap& row_of(const Hypothesis& cause) const;
  /// What the whole batch weighs more than it should.
  double excess_grams(const Hypothesis& cause, const Variation& variation) const;
  double probability_of_weight(double grams, const Hypothesis& cause) const;
  AdvisedCheck judged(const std::string& check, const std::vector<Cause>& causes) const;
  std::vector<CheckOutcome> sights(const std::string& check,
                                   const std::vector<Cause>& causes) const;
  std::vector<CheckOutcome> weights(const std::vector<Cause>& causes) const;
  std::vector<double> shares_after(const Finding& finding, const std::vector<Cause>& causes) const;

  const Formula& formula_;
  const Tables& tables_;
};

}  // namespace counterion
