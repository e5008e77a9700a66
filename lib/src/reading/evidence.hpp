// SPDX-License-Identifier: MIT
// How probable the readings are, had something gone wrong.
#pragma once

#include <counterion/reading/hypotheses.hpp>

namespace counterion {

/// The probability density of readings, per pH unit for each.
///
/// At a read pH the charges of the phase leave a residual r, which the tables' uncertainties, all
/// normal and linear in the charge, would have to make up for: r has the covariance
/// S = J Jᵀ + (what the meter and the reading itself are off by)². From residuals to pH leads the
/// Jacobian |∂r/∂pH|, the buffer capacity C:
///
///     log p = -½ rᵀ S⁻¹ r - ½ log det S - n/2 log 2π + Σ log C
///
/// Without C a mishap that leaves the batch unbuffered would explain everything.
class Evidence {
 public:
  Evidence(const Formula& formula, std::span<const BatchReading> readings, const Tables& tables,
           const Circumstances& circumstances);

  /// Whether there is a water phase with readings.
  bool meaningful() const { return !as_written_.empty(); }
  /// Whether `log_screened` can say anything of a variation.
  static bool can_be_screened(const Variation& variation);
  /// The same with the phases as they were written down, changed lines being charge more or less.
  double log_screened(const Variation& variation) const;
  /// The same with the phases made anew.
  double log_density(const Variation& variation) const;
  /// How far a variation moves the readings, as screened: the most of all, in pH units where the
  /// buffering stays what it is.
  double reach(const Variation& variation) const;
  /// What the last reading would be; empty where there would be no water phase.
  std::optional<double> last_ph(const Variation& variation) const;
  /// How far the readings lie from what was to be expected, in standard deviations, + higher; that
  /// of the last reading.
  double surprise() const;

 private:
  struct ReadingCharge : ChargeByLine {
    double water_ions = 0;   ///< charge that no line brings
    double water_error = 0;  ///< 90 % half width of it for what the activity model is off by
  };
  using Charges = std::vector<ReadingCharge>;
  Charges charges_of(std::span<const WaterPhase> phases,
                     std::span<const BatchReading> readings) const;
  std::vector<WaterPhase> phases_with(const Variation& variation) const;
  std::vector<double> residuals(const Charges& charges, const Variation& variation) const;
  double portion_charge(std::size_t n, const Variation& variation) const;
  double spread_charge(std::size_t n, const Variation& variation) const;
  double log_normal(const Charges& charges, const std::vector<double>& residuals,
                    const Variation& variation) const;
  double log_any_batch() const;

  const Formula& formula_;
  std::vector<BatchReading> readings_;
  const Tables& tables_;
  Circumstances circumstances_;
  mutable ReadingFrame frame_;     ///< filled when the batch as it was written down is made
  Charges as_written_;
  double repeatability_ph_ = 0;  ///< standard deviation of one reading
};

}  // namespace counterion
