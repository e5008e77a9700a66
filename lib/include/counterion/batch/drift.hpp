// SPDX-License-Identifier: MIT
// Where the pH of a finished product goes while it is kept: slow reactions of its materials.
#pragma once

#include <counterion/batch/prediction.hpp>

namespace counterion {

/// So long at one temperature.
struct Stay {
  double days = 0;
  double celsius = 25;
};

/// How a product is kept, and when it is looked at.
struct DriftOptions {
  std::vector<Stay>
      storage;  ///< one after another; after the last its temperature goes on. Empty: at 25 °C
  std::vector<double> days = {0,    1,      7,    30.4,
                              91.3, 365.25, 730.5};  ///< since mixing, in ascending order
};

/// The pH at one time after mixing, with 90 % intervals.
struct DriftPoint {
  double days = 0;
  double ph = 0, low = 0, high = 0;
  double change = 0, change_low = 0,
         change_high = 0;  ///< against the prediction, quick changes being over
};

/// A slow reaction of a line, and what it does by itself.
struct DriftCause {
  std::size_t item = 0;
  std::string what;           ///< in words: "urea gives off ammonia"
  std::string watch_for;      ///< one sentence for a maker
  double shift_ph = 0;        ///< of the pH from mixing to the last time, by it alone
  double share_done = 0;      ///< of its reactant, at the last time, 0 to 1
  double half_life_days = 0;  ///< at the beginning, as it is kept
  bool quick = false;         ///< over within days: the prediction counts it as done
  std::string source;
  std::string row_id;
};

/// A change that is known to happen, at a speed that is in no table.
struct UntimedChange {
  std::size_t item = 0;
  std::string effect;  ///< acid-appears, base-appears, acid-disappears, base-disappears
  std::string watch_for;
  std::string source;
  std::string row_id;
};

/// A forecast. Without causes the pH stays, as far as the tables know.
struct Drift {
  std::vector<DriftPoint> points;  ///< one for each of the days asked for
  std::vector<DriftCause> causes;  ///< largest shift first
  std::vector<UntimedChange> untimed;
  double fall = 0,
         rise = 0;  ///< of the pH below and above the prediction, quick changes being over
  double acid_mmol_per_kg = 0;  ///< strong acid that would do the same at the last time, per kg of
                                ///< product; negative: base
  double low = 0, high = 0;     ///< least and largest pH of the middle, quick changes being over
};

/// The forecast for a phase of this formula; the phase may be one that readings have taught.
/// Throws BadInput for storage or times that mean nothing (negative or infinite days, -20 to 80
/// °C).
Drift drift_of(const Formula& formula, const WaterPhase& phase, const Tables& tables,
               const DriftOptions& options = {});

/// How far the pH is expected to move below and above where it was set, quick changes being over,
/// whether that was by the prediction or by a reading on the first day: the middle alone, at the
/// cost of some tens of solves, and none where nothing reacts at a known speed.
struct ExpectedMove {
  double fall = 0, rise = 0;
};
ExpectedMove expected_move(const Formula& formula, const WaterPhase& phase, const Tables& tables,
                           const Stay& shelf = {730.5, 25});

/// The phase as it stands so many days after mixing, kept at `celsius`; it knows the same of itself
/// and of how far the reactions have gone (drivers of the kind `progress`, each with a part of its
/// own). The phase must be one as built, not one that has aged. Throws BadInput as `drift_of` does.
WaterPhase aged_phase(const Formula& formula, WaterPhase phase, const Tables& tables, double days,
                      double celsius = 25);

/// When the pH first lies outside low to high, days after mixing: in the middle, and where the
/// interval first reaches beyond, quick changes being over. Empty where it does not within the
/// forecast.
struct Leaves {
  std::optional<double> middle_days, earliest_days;
};
Leaves leaves(const Drift& drift, double low, double high);

}  // namespace counterion
