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

/// Says what of a dilution means nothing: grams that are no grams, carbon dioxide beyond 1 mol/kg.
void add_problems_of(const Dilution& dilution, const Place& place, std::vector<Problem>& problems);

/// Carbonate of water that has stood in the air, mol/kg: what the tables' pressure and Henry's law
/// give, and what of it such water turns into bicarbonate. 0 where the tables have neither.
double carbon_dioxide_of_air(const Tables& tables, double celsius = 25);

/// The product's own water as a share of all water of the slurry, 0 to 1: by it all amounts per kg
/// of water shrink.
double share_of_own_water(const WaterPhase& phase, const Dilution& dilution);

/// The phase of a product in the water that was added to it. Its parts, its oil, micelles and
/// solvents and what is not sure of its amounts are thinned alike; pK lie where the thinner solvent
/// puts them; carbonate of the added water comes on top. `water_percent` is that of the slurry, so
/// that what is told per kg is per kg of slurry. Throws BadInput for a dilution that means nothing.
WaterPhase diluted(WaterPhase phase, const Dilution& dilution, const Tables& tables);

}  // namespace counterion
