// SPDX-License-Identifier: MIT
// What may have gone wrong with a batch or with its reading, and what would then be different.
#pragma once

#include <counterion/batch/calibrate.hpp>

namespace counterion {

/// What differs from what was written down, for one size of a mishap.
struct Variation {
  /// A line of the formula: so many times as much, or of another material.
  struct Line {
    std::size_t item = 0;
    double factor = 1;
    double spread = 0;       ///< standard deviation of the factor
    std::string ingredient;  ///< id of what stands in its place; empty: nothing else
  };
  double weight = 1;  ///< of this size among those of its mishap; they sum to 1
  std::string what;   ///< in words, where the size makes a difference to them
  std::vector<Line> lines;
  double portions = 1;         ///< so many times as much of what was weighed in between readings
  double portions_spread = 0;  ///< standard deviation of that
  bool last_portion_only = false;      ///< of the last one alone
  double water_left = 1;               ///< share of the formula's water that is still there
  double carbonate_mol_per_kg = 0;     ///< carbonic acid that came along, of the batch's water
  double alkali_mol_per_kg = 0;        ///< strong base that came along
  double loose_charge_mol_per_kg = 0;  ///< standard deviation of acid or base that came along
  double bias_ph = 0;                  ///< standard deviation of what all readings are off by
  double noise_ph = 0;                 ///< standard deviation of what each reading is off by
  std::optional<double> celsius;       ///< at which the readings were taken without compensation
  std::optional<Dilution> dilution;    ///< of what was read
  std::optional<double> age_days;      ///< of the batch when it was read
  bool any_batch = false;              ///< the readings say nothing of this batch
};

/// Something that may have gone wrong.
struct Hypothesis {
  std::string mishap;                 ///< row in mishaps
  std::string kind;                   ///< of that row: "ingredient-left-out"; "none": nothing
  std::vector<std::size_t> items;     ///< lines that it is about
  std::string what;                   ///< in words: "citric acid left out"
  double prior = 0;                   ///< before any reading; all of them sum to 1
  std::vector<Variation> variations;  ///< its sizes, or which material was taken
};

/// How the readings were taken, where that is known.
struct Circumstances {
  Bench bench;
  Conditions conditions;
  bool strip = false;         ///< the readings are those of a strip
  bool meter = false;         ///< the readings are those of a meter
  bool buffers_read = false;  ///< its buffers were read, and the readings are corrected by them
};

/// All that may have gone wrong with this formula and these readings, *nothing* first. Priors:
/// mishaps, shared out evenly among the lines that each may have met.
std::vector<Hypothesis> hypotheses_for(const Formula& formula,
                                       std::span<const BatchReading> readings, const Tables& tables,
                                       const Circumstances& circumstances = {});

/// The formula as it would be.
Formula varied(const Formula& formula, const Variation& variation);
/// The readings as they would have to be taken.
std::vector<BatchReading> varied(std::span<const BatchReading> readings,
                                 const Variation& variation);
/// A phase with what came along.
void vary(WaterPhase& phase, const Variation& variation);

}  // namespace counterion
