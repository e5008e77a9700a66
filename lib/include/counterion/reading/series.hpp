// SPDX-License-Identifier: MIT
// Readings of one product as it ages: does it go where the forecast has it go?
#pragma once

#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/drift.hpp>

namespace counterion {

/// A later reading of a product, and what the readings before it and the forecast had expected.
struct JudgedReading {
  double days = 0;  ///< since mixing
  double ph = 0;
  double expected = 0, low = 0, high = 0;  ///< 90 % interval, meter included
  double surprise = 0;                     ///< how many standard deviations away, + read higher
  bool as_expected = true;                 ///< otherwise something else is going on
};

/// Beyond so many standard deviations a product does not go where the forecast has it go: one
/// reading in a hundred does so by chance.
inline constexpr double most_surprise_in_series = 2.58;

/// So old, in days, a reading shows slow changes too: no longer what the batch was made as.
inline constexpr double young_days = 30;

/// From the last material to a first reading it takes so long, in days: an hour (assumption). "Day
/// 0" and the first line of a log mean no less.
inline constexpr double first_reading_days = 1 / 24.0;

/// The readings with their ages: where one says how old the product was, those before it that say
/// nothing were taken when it was mixed. No age is less than `first_reading_days`.
std::vector<BatchReading> with_ages(std::vector<BatchReading> readings);

/// Those of the readings that say what the batch was made as: all up to the last addition, and
/// later ones on a product younger than `young_days` or of unknown age; where none is left, the
/// first.
std::vector<BatchReading> of_the_batch_as_made(std::span<const BatchReading> readings);

/// Judges every reading with an age that was taken after the last addition, but for the first,
/// against the forecast from those before it; kept as `storage` says (`DriftOptions`). Empty where
/// there are no two such readings, or no water phase. Throws as `calibrate` and `drift_of`.
std::vector<JudgedReading> judge_series(const Formula& formula,
                                        std::span<const BatchReading> readings,
                                        const Tables& tables, const Conditions& conditions = {},
                                        const Bench& bench = {},
                                        const std::vector<Stay>& storage = {});

}  // namespace counterion
