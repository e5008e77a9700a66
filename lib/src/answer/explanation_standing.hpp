// SPDX-License-Identifier: MIT
// A batch judged beside the formula that it was meant to be.
#pragma once

#include <counterion/answer/explanation.hpp>

namespace counterion {

/// Judges batches beside one formula.
class Beside {
 public:
  /// `intended` is the formula with all that was meant to be weighed in.
  Beside(const Formula& intended, const CheckOptions& options, const Tables& tables);

  /// A batch as it stands; `loose` is what came along that no line says.
  Standing standing_of(const Formula& batch, const Variation& loose = {},
                       const BatchKnowledge& knowledge = {}) const;
  /// A batch after it was brought to a pH.
  Standing mended(const Formula& batch, const BatchKnowledge& knowledge = {}) const;
  /// The pH to bring a batch to: the wish, that of the formula where it suits everything, or that
  /// of its window.
  std::optional<double> aim() const { return aim_; }
  const Formula& intended() const { return intended_; }
  /// Whether a mended batch has nothing that the formula does not have: no stop, no limit exceeded,
  /// no preservation lost.
  bool passes(const Standing& standing) const;

 private:
  struct Strength {
    bool enough = false;
    double works = 0;
  };
  Judged judged(const Formula& batch, const BatchKnowledge& knowledge = {}) const;
  Standing compared(const Formula& batch, const Judged& judged,
                    std::optional<double> reference_ph) const;
  Strength strength_of(const Formula& batch, const Judged& judged, std::optional<double> ph) const;

  const Formula& intended_;
  const CheckOptions& options_;
  const Tables& tables_;
  Judged reference_;
  std::optional<double> aim_;
};

}  // namespace counterion
