// SPDX-License-Identifier: MIT
// What readings of a batch teach about it.
#pragma once

#include <counterion/batch/adjusted_formula.hpp>
#include <counterion/batch/dilution.hpp>
#include <counterion/batch/prediction.hpp>

namespace counterion {

/// A reading of a batch, and what was weighed in since the one before.
struct BatchReading {
  BatchReading(double read = 0, std::vector<Portion> since_the_one_before = {}, Place written = {})
      : ph(read), added(std::move(since_the_one_before)), place(std::move(written)) {}
  double ph = 0;
  std::vector<Portion> added;
  Place place;                     ///< where it was written
  std::optional<double> age_days;  ///< since the batch was mixed; none: quick changes are over
  Dilution dilution;               ///< of what was read; as it is without it
  std::optional<double> celsius;   ///< at which it was read; otherwise that of the conditions
  std::optional<double> half_ph;   ///< 90 % half width of this reading by itself, where its method
                                   ///< makes it coarser than a meter's
};

/// The tools on the bench.
struct Bench {
  double meter_ph = 0.1;  ///< what the meter or strip may be off by, the same for all readings
  double scale_g = 0.01;  ///< what the scale resolves
  bool titration =
      false;  ///< the readings are those of a titration: they shall say what no line accounts for
};

/// A reading as it was expected from what was known before it.
struct ReadingInLight {
  double ph = 0;
  double expected = 0, low = 0, high = 0;  ///< 90 % interval, meter included
  double surprise = 0;                     ///< how many standard deviations away, + read higher
};

/// A slip with one line of the formula that would read as the batch does.
struct Slip {
  std::size_t item = 0;
  bool doubled = false;  ///< otherwise left out
  double ph = 0;         ///< that the batch would have
};

/// Something learned, with its 90 % interval.
struct Learned {
  double value = 0, low = 0, high = 0;
};

/// What was learned from the readings of one batch, for the same batch with more in it.
class BatchKnowledge {
 public:
  /// Nothing: every formula has the phase that the tables give it.
  BatchKnowledge() = default;
  /// The phase of a formula that begins with the lines of the one that was learned from.
  std::optional<WaterPhase> phase_of(const Formula& formula, const Tables& tables,
                                     const Conditions& conditions = {},
                                     Sureness sureness = Sureness::known) const;
  bool empty() const { return keys_.empty(); }

 private:
  friend class Calibrator;
  std::vector<std::string> keys_;  ///< of drivers
  std::vector<double> deviates_;
  std::vector<std::vector<double>> learned_;
  double first_ph_ = 7;  ///< at which unlisted buffers were there as they stand
  double low_ph_ = 7, high_ph_ = 7;
  double model_below_ = 0, model_above_ = 0;
  double wider_ = 1;  ///< than the tables say: readings have surprised
  Bench bench_;
};

/// A batch as its readings have it. The tables' ± and what no line accounts for (priors: levels of
/// `batch`) are moved together as far as the readings ask for and no further; what the readings
/// leave open stays open.
struct Calibration {
  Formula formula;                  ///< with everything weighed in so far
  std::optional<WaterPhase> phase;  ///< of it, as the readings have it; none without a water phase
  BatchKnowledge knowledge;
  std::vector<ReadingInLight> readings;
  Learned unexplained_meq_per_kg;    ///< charge that the middle of the tables' values lacks at the
                                     ///< last pH, of batch
  Learned extra_buffer_mmol_per_kg;  ///< buffering beyond it at the last reading, per pH and kg of
                                     ///< batch
  bool beyond_tables = false;        ///< a reading lies where the tables' ± hardly allow it
  std::vector<Slip> slips;  ///< that would read as the first reading does, where that lies beyond
};

/// Beyond so many standard deviations a reading is no longer learned from without asking: one batch
/// in a thousand.
inline constexpr double most_surprise = 3.29;

/// Learns from readings in the order in which they were taken, each of the batch as it was read: at
/// its temperature, as old as it was, in the water that it was stirred into. What is learned is of
/// the batch itself: undiluted, at the conditions, its quick changes over. Throws BadInput for a
/// reading outside of pH 0 to 14 or 0 to 80 °C, for grams below 0 or above 1e9, other numbers that
/// mean nothing, and where additions leave hardly any water.
Calibration calibrate(const Formula& formula, std::span<const BatchReading> readings,
                      const Tables& tables, const Conditions& conditions = {},
                      const Bench& bench = {});

/// Over which pH a batch was read and how sure its activity model is there: the same for batches that
/// differ by a slip.
class ReadingFrame {
 private:
  friend class Calibrator;
  BatchKnowledge knowledge_;
  bool known_ = false;
};

/// The phase of the batch at each reading, nothing being learned yet, with all that a reading brings
/// into play: drivers for what no line accounts for, the activity model and the meter, in one order.
/// A `frame` is filled by the first batch and used by those after it. Empty without a water phase.
/// Throws as `calibrate`.
std::vector<WaterPhase> phases_as_read(const Formula& formula,
                                       std::span<const BatchReading> readings, const Tables& tables,
                                       const Conditions& conditions = {}, const Bench& bench = {},
                                       ReadingFrame* frame = nullptr);

/// Logarithm of the probability density (per pH unit for each reading) that the tables' ±, what no
/// line accounts for and the bench's tools give to all readings together: the higher, the better
/// the formula explains them. 0 without readings, -infinity without a water phase. Throws as
/// `calibrate`.
double log_evidence(const Formula& formula, std::span<const BatchReading> readings,
                    const Tables& tables, const Conditions& conditions = {},
                    const Bench& bench = {});

}  // namespace counterion
