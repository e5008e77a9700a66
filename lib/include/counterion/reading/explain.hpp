// SPDX-License-Identifier: MIT
// Why a batch reads what it reads: causes by their probability, and the check that tells them
// apart.
#pragma once

#include <counterion/reading/hypotheses.hpp>

namespace counterion {

/// What a check found.
struct Finding {
  std::string check;  ///< its name: "measure-again", "packs-and-sheet", …
  std::string kind;   ///< of the mishap that it showed; empty: all was as it should be
  std::optional<std::size_t> item;  ///< the line with which it was, where that is known
  std::optional<double> grams;      ///< weigh-batch: what the whole batch weighs
};

/// A cause of what was read.
struct Cause {
  Hypothesis hypothesis;
  double probability = 0;            ///< of all that was thought of
  Variation likely;                  ///< its most probable size
  std::optional<double> ph;          ///< that the last reading would be with it
  std::string how_it_shows;          ///< one sentence
  std::string check, what_to_check;  ///< name of its check, and the sentence
};

/// What a check may find, and which causes would then lead.
struct CheckOutcome {
  std::string what;        ///< in words
  double probability = 0;  ///< that it is found
  Finding finding;
  std::vector<std::pair<std::size_t, double>>
      leading;  ///< causes (index) with their new probability
};

/// A check worth making.
struct AdvisedCheck {
  std::string check;
  std::vector<std::string> what_to_do;  ///< sentences, the most probable cause's first
  double minutes = 0;
  double bits = 0;        ///< of the question that it answers, on average
  double sure_after = 0;  ///< probability that the cause named first afterwards is the true one
  std::vector<CheckOutcome> outcomes;  ///< the most probable first
};

/// The explanation of a batch's readings.
struct Explained {
  double expected_ph = 0;            ///< of the last reading, before it was seen
  double surprise = 0;               ///< how many standard deviations away it lies, + read higher
  std::vector<Cause> causes;         ///< the most probable first
  std::size_t near_equal = 1;        ///< so many of the first are about as probable as the first
  std::size_t thought_of = 0;        ///< how many hypotheses there were
  std::vector<AdvisedCheck> checks;  ///< the most useful first
};

/// A cause is about as probable as another that is at most so many times less so.
inline constexpr double near_equal_ratio = 1.5;

/// Of more readings the first and the last ones count.
inline constexpr std::size_t most_readings_explained = 12;

/// Explains readings of a batch, the cause *nothing went wrong* being one of them; `findings` of
/// checks that were made count. Throws as `calibrate`; BadInput for a finding of a check that the
/// tables do not have. Empty causes without a water phase or readings.
Explained explain_readings(const Formula& formula, std::span<const BatchReading> readings,
                           const Tables& tables, const Circumstances& circumstances = {},
                           std::span<const Finding> findings = {});

}  // namespace counterion
