// SPDX-License-Identifier: MIT
// The answer while a batch is made: what its pH is and how sure that is, what to weigh in which
// steps, what to do when it goes too far.
#pragma once

#include <counterion/answer/check.hpp>
#include <counterion/batch/sampled.hpp>
#include <counterion/batch/storage.hpp>
#include <counterion/dosing/buffer.hpp>
#include <counterion/dosing/plan.hpp>
#include <counterion/reading/series.hpp>

namespace counterion {

/// What is known of a batch beside its formula.
struct BatchOptions : CheckOptions {
  std::vector<BatchReading> readings;  ///< in the order in which they were taken
  bool every_adjuster = true;          ///< of the tables; otherwise those of `adjusters`
  bool ruled_out = false;  ///< the maker has checked that nothing was left out, doubled or swapped
  std::size_t draws = 4096;          ///< for the distribution of the pH: a power of two
  std::optional<double> neutralise;  ///< aim for the pH at which this share (0 to 1) of an acid
                                     ///< polymer is neutralised
  std::optional<BufferAim> hold;     ///< which buffer would hold the pH? (pH 0: the target)
  std::optional<double>
      sample_g;  ///< the readings were taken on a sample of this size, which does not go back
  std::vector<Stay> storage;  ///< how the product is kept, one stay after another, over all of which
                              ///< its pH is foretold; empty: two years at 25 °C. The
                              ///< last may have 0 days: it goes on to two years
  std::vector<double> days;   ///< at which the forecast looks, ascending; empty: it chooses
};

/// A measurement that would make the predicted pH surer, and what would be left.
struct Measurement {
  std::string what;
  std::string how;
  std::optional<std::size_t> item;  ///< line of the formula that it is about
  double p05 = 0,
         p95 = 0;  ///< 90 % interval of the batch's pH with it, were it to come out as expected
};

/// A step of the work around the adjusting, in its order.
struct WorkStep {
  std::string what;
  std::string why;
  std::string source;
  std::string row_id;
};

/// So much of an adjuster, and the pH to expect with its 90 % interval.
struct CurveStep {
  double grams = 0;
  double ph = 0, low = 0, high = 0;
};

/// A reading worth taking while the product is kept.
struct FollowUp {
  double days = 0;  ///< since mixing
  double ph = 0, low = 0,
         high = 0;  ///< to expect, with its 90 % interval; the meter counts until it has been read
};

/// A stay in the warm, and for each reaction what it stands for at 25 °C.
struct WarmStay {
  Stay stay;
  std::vector<ShelfTime> at_25_celsius;
};

/// A middle that moves by more than this is to be held.
inline constexpr double most_drift_ph = 0.2;

/// Whether the pH will stay where it is, or, where grams are asked for, where they bring it.
struct Keeping {
  std::vector<Stay> storage;         ///< as the forecast took it
  Drift drift;
  std::optional<Leaves> leaves;      ///< the window; none where there is none, or where it stands outside
  std::vector<FollowUp> follow_ups;  ///< in their order; empty where nothing is known to happen
  std::optional<Buffers> buffers;    ///< that would hold it within `most_drift_ph`, the best two; none
                                     ///< where it moves less and does not leave the window
  std::vector<WarmStay> warm_stays;  ///< of the storage
  double air_ph = 0;  ///< what carbon dioxide from the air may move it by
};

/// The answer. `check` is about the batch as it stands: with all that was weighed in, as its
/// readings have it.
struct BatchAnswer {
  CheckResult check;
  Calibration learned;                    ///< no readings: nothing is learned
  std::optional<SampledPH> sampled;       ///< the pH as it stands
  double chance_in_window = 0;            ///< that it lies in the window
  std::vector<Measurement> measurements;  ///< the most useful first
  std::optional<std::size_t> chosen;      ///< the adjustment that plan, curve and undo are about
  std::optional<Plan> plan;
  std::vector<CurveStep> curve;     ///< from nothing to past the target
  std::optional<Undo> undo;         ///< were it to go half a pH too far
  std::optional<Interval> release;  ///< readings at which the batch may go out
  std::vector<WorkStep> work;
  std::optional<Buffers> buffers;
  std::optional<Keeping> keeping;     ///< none without a water phase
  std::vector<JudgedReading> series;  ///< later readings against the forecast
};

/// What pH a batch has, how sure that is, what decides it, whether it will stay and which
/// measurement would help; no amounts. Throws as `check`, `calibrate` and `drift_of` do.
BatchAnswer foresee(const Formula& formula, const Tables& tables = Tables::built_in(),
                    const BatchOptions& options = {});

/// The same with amounts of all adjusters and the plan for one of them. Throws as `foresee`.
BatchAnswer adjust(const Formula& formula, const Tables& tables = Tables::built_in(),
                   const BatchOptions& options = {});

/// The same from a titration of a sample on the bench: `options.sample_g` grams, whose readings
/// they are; amounts are for the batch less the sample. What no line accounts for is left to the
/// titration to say. Throws as `foresee`, and BadInput without `sample_g` or with fewer than two
/// readings.
BatchAnswer titrate(const Formula& formula, const Tables& tables, const BatchOptions& options);

}  // namespace counterion
