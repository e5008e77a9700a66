// SPDX-License-Identifier: MIT
// Where the neutral form of an acid or base goes beside the water: oil, micelles, crystals, air.
#pragma once

#include <limits>

namespace counterion {

/// What becomes of a protolyte's neutral form. Only that form leaves the water; the ions stay.
struct NeutralForm {
  /// Moles in oil and in micelles for one mole free in the water.
  double elsewhere = 0;
  /// Moles bound in pairs in the oil, for one mol/kg free in the water squared (kg/mol).
  double paired = 0;
  /// Moles of a form into which it turns and from which it comes back (a lactone) for one mole.
  double converted = 0;
  /// The most that the water holds of it, mol/kg; what is more lies as crystals or oil drops.
  double solubility = std::numeric_limits<double>::infinity();
  /// The water holds `solubility` of it whatever is used up: crystals in plenty, or the gas above.
  bool held = false;

  bool operator==(const NeutralForm&) const = default;

  /// Moles in all for one mole of the neutral form free in the water, pairs left aside.
  double weight() const { return 1 + elsewhere + converted; }
  /// Whether the total alone no longer tells how much takes part.
  bool is_limited() const {
    return held || paired > 0 || solubility < std::numeric_limits<double>::infinity();
  }
  /// The same once the water has grown `times`, the other phases being what they were.
  NeutralForm in_more_water(double times) const {
    NeutralForm diluted = *this;
    diluted.elsewhere /= times;
    diluted.paired /= times;
    return diluted;
  }
};

/// Neutral form shared with oil. `partition` is the ratio of concentrations oil to water,
/// `litres_per_kg` the oil beside one kilogram of water, `pairing` the constant of dimers in the oil,
/// [dimer] = pairing [single]², L/mol. Concentrations in the water are taken per kilogram.
inline NeutralForm shared_with_oil(double partition, double litres_per_kg, double pairing = 0) {
  NeutralForm form;
  form.elsewhere = partition * litres_per_kg;
  form.paired = 2 * pairing * partition * partition * litres_per_kg;
  return form;
}

}  // namespace counterion
