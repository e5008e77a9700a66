// SPDX-License-Identifier: MIT
// A product stirred into water to be read: a slurry.
#pragma once

#include <counterion/batch/water_phase.hpp>

namespace counterion {

/// What was stirred into how much water.
struct Dilution {
  double product_g = 1;
  double water_g = 0;
  double carbon_dioxide_mol_per_kg = 0;  ///< in that water; 0: boiled and cooled
  bool diluted() const { return water_g > 0; }
};

/// Carbonate of water that has stood in the air, mol/kg: what the tables' pressure and Henry's law give.
double carbon_dioxide_of_air(const Tables& tables, double celsius = 25);

/// The phase of a product in the water that was added to it; amounts of its parts, its oil and its
/// uncertain quantities are thinned alike.
WaterPhase diluted(WaterPhase phase, const Dilution& dilution, const Tables& tables);

}  // namespace counterion
