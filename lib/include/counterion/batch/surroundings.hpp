// SPDX-License-Identifier: MIT
// What stands in and beside a formula's water, and what it does to an acid there: solvents shift its pK,
// oil and micelles hold its neutral form, and the water holds only so much of it.
#pragma once

#include <counterion/batch/material.hpp>

#include <map>

namespace counterion {

/// Oil, nonionic surfactants and solvents of a formula, per kilogram of its water.
struct Surroundings {
  std::map<std::string, double, std::less<>> oil_litres;          ///< by kind of oil
  std::map<std::string, double, std::less<>> surfactant_percent;  ///< by kind, in grams for 100 g of water
  std::map<std::string, double, std::less<>> solvent_grams;       ///< by substance

  /// Mass of a solvent in that of water and all solvents, 0 to 1.
  double solvent_fraction(std::string_view substance) const;
  /// The same for all solvents together.
  double solvent_fraction() const;
};

/// Adds a line of a formula: `grams` of a material for one kilogram of water.
void add_to(Surroundings& surroundings, std::string_view ingredient, const Material& material, double grams,
            const Tables& tables);

/// A substance's ladder with the pK that the solvents give it; their ± is in its steps' uncertainty.
Protolyte protolyte_in(const Surroundings& surroundings, const tables::Substance& substance,
                       const Tables& tables);

/// One step of a neutral acid as the solvents have it.
Ionisation shifted_in(const Surroundings& surroundings, Ionisation neutral_acid, const Tables& tables);

/// Where the neutral form goes, and how sure that is.
struct SharedNeutralForm {
  NeutralForm form;
  double decades = 0;  ///< half width of the 90 % interval of what oil and micelles hold, log10
  std::string source;  ///< of the larger part
  std::string row_id;
  const tables::Constant* solubility_row = nullptr;  ///< where a solubility is set
};

/// Alcohols and glycols dissolve what water does not: beyond this mass fraction of the liquid the
/// solubility in water says nothing (assumption).
inline constexpr double most_solvent_for_solubility = 0.1;

/// The neutral form of `molality` (mol per kg of water, in all) of a substance in these surroundings. A
/// solubility is set where so much could be beyond it.
SharedNeutralForm neutral_form_in(const Surroundings& surroundings, const tables::Substance& substance,
                                  double molality, const Tables& tables);

/// Litres of oil in a gram of it, an oil's usual 0.9 g/mL (assumption).
inline constexpr double litres_per_gram_of_oil = 1 / 900.0;

}  // namespace counterion
