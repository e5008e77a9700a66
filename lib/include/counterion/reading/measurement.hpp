// SPDX-License-Identifier: MIT
// How good a reading of pH is: what the electrode, the buffers, the temperature, the strip and the
// water that it was diluted with may have done to it.
#pragma once

#include <counterion/batch/calibrate.hpp>

namespace counterion {

/// With what a pH was read.
enum class Method { meter, meter_two_points, meter_one_point, meter_not_calibrated, strip };
inline constexpr std::array<std::string_view, 5> method_names{
    "meter", "meter-two-points", "meter-one-point", "meter-not-calibrated", "strip"};

/// What a calibration buffer read.
struct BufferReading {
  double nominal_ph = 7;  ///< of the buffer at its temperature
  double shown_ph = 7;    ///< by the meter; not used where millivolts are given
  std::optional<double> millivolts;
  double celsius = 25;
};

/// All that is known of how a reading was taken.
struct Measuring {
  Method method = Method::meter;
  std::optional<double> step_ph;  ///< of the strip's scale, or what the meter is off by
  std::vector<BufferReading> buffers;
  std::optional<double> sample_celsius;
  std::optional<double> calibrated_celsius;  ///< 25 without it
  bool compensates_temperature = true;
  std::optional<double> buffer_age_days;  ///< since they were opened
  Dilution dilution;
};

/// The ideal slope of an electrode, mV per pH: R T ln 10 / F (0 to 100 °C).
double nernst_slope_mV(double celsius);

/// Slope and offset of an electrode from two buffers or more, and whether they are good enough
/// (USP <791>: slope 90 to 105 %, offset within ± 30 mV).
struct Electrode {
  double slope_percent = 100;  ///< of the ideal slope at the buffers' temperature
  double offset_mV = 0;        ///< at pH 7
  bool slope_fine = true, offset_fine = true;
  /// The pH of what a meter with the ideal slope and no offset shows as `shown_ph`.
  double ph_of(double shown_ph) const;
  double offset_ph = 0;  ///< the offset in pH units of an ideal electrode, + where it shows less
};
/// Least squares over the buffers; what they show in pH is taken as shown by an ideal meter. Judged
/// by the tables (levels of `measurement`). Throws BadInput for fewer than two different buffers
/// and for numbers that mean nothing.
Electrode electrode_of(std::span<const BufferReading> buffers,
                       const Tables& tables = Tables::built_in());

/// What a meter without temperature compensation shows, calibrated at one temperature, of a pH at
/// another: 7 + (pH - 7) T_sample/T_calibrated.
double shown_without_compensation(double ph, double sample_celsius, double calibrated_celsius);

/// One thing that moves a reading or makes it unsure.
struct ReadingEffect {
  std::string what;        ///< in words
  double shift_ph = 0;     ///< the reading lies so much above what it would be without
  double half_ph = 0;      ///< 90 % half width that it adds
  std::string what_to_do;  ///< the cheapest way to be rid of it
  std::string source;
  std::string row_id;
};

/// A reading judged: what it would be without all that is known to move it, and how sure that is.
struct MeasurementQuality {
  double read_ph = 0;
  double corrected_ph = 0;  ///< less the shifts that are known
  double half_ph = 0;       ///< 90 % half width
  std::optional<Electrode> electrode;
  std::vector<ReadingEffect> effects;  ///< the largest first
};

/// Judges a reading of a phase. `corrected_ph` is that of the product itself, undiluted, at the
/// phase's own temperature, closed: it is the phase with the strong charge with which it reads as
/// it did, in its water and at its temperature. Throws BadInput, with all faults at once, for
/// numbers that mean nothing.
MeasurementQuality quality_of(const WaterPhase& phase, double read_ph, const Measuring& measuring,
                              const Tables& tables);

}  // namespace counterion
