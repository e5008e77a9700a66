// SPDX-License-Identifier: MIT
// The phase that an electrode stood in, and the product that it was taken from.
#pragma once

#include "measurement_figures.hpp"

#include <counterion/reading/measurement.hpp>

namespace counterion {

/// A phase at another temperature: its water, and every pK by its enthalpy.
WaterPhase at_temperature(WaterPhase phase, double celsius);

/// A phase with the strong charge with which it reads as it did, in its water and at its
/// temperature.
class ReadPhase {
 public:
  ReadPhase(const WaterPhase& phase, double ph, const Measuring& measuring, const Tables& tables);
  /// pH of the product undiluted, at the sample's temperature.
  double undiluted() const;
  /// The same at the phase's own temperature.
  double itself() const { return ph_of(product_); }
  /// pH of what was read had the added water been free of carbon dioxide.
  double in_clean_water() const;
  /// pH of what was read once it is at rest with the air, as far as it comes while it is handled.
  double open_to_air() const;
  /// How far the product's pH moves by so many degrees, the larger of both sides.
  double moved_by_temperature(double degrees) const;
  double ionic_strength() const { return state_of(read_).ionic_strength; }
  double solvent_fraction() const { return read_.surroundings.solvent_fraction(); }
  double oil_litres_per_kg() const;
  Figure air_source() const;

 private:
  WaterPhase product_;  ///< at the phase's own temperature
  WaterPhase read_;
  Dilution dilution_;
  double sample_celsius_ = 25;
  const Tables& tables_;
};

}  // namespace counterion
