// SPDX-License-Identifier: MIT
// What a check at the bench would find under each cause, and which check is worth its time.
#pragma once

#include <counterion/reading/explain.hpp>

namespace counterion {

/// Knows what checks find.
class CheckBench {
 public:
  CheckBench(const Formula& formula, const Tables& tables) : formula_(formula), tables_(tables) {}

  /// Probability of a finding, were this the cause.
  double probability(const Finding& finding, const Hypothesis& cause) const;
  /// The checks that would tell these causes apart, the most useful for its time first.
  std::vector<AdvisedCheck> advised(const std::vector<Cause>& causes) const;
  /// Throws BadInput for findings of checks that no mishap has, and for grams that mean nothing.
  void require_known(std::span<const Finding> findings) const;

 private:
  struct Subject {
    std::string check;
    std::optional<std::size_t> item;
  };
  const tables::Mishap& row_of(const Hypothesis& cause) const;
  bool is_amiss(const Subject& subject, const Hypothesis& cause) const;
  double grams(const Hypothesis& cause, const Variation& variation) const;
  std::vector<Subject> subjects(const std::vector<Cause>& causes) const;
  AdvisedCheck judged(const Subject& subject, const std::vector<Cause>& causes) const;
  std::vector<CheckOutcome> outcomes(const Subject& subject,
                                     const std::vector<Cause>& causes) const;
  std::vector<CheckOutcome> weights(const Subject& subject,
                                    const std::vector<Cause>& causes) const;
  std::string name(std::size_t item) const;

  const Formula& formula_;
  const Tables& tables_;
};

}  // namespace counterion
