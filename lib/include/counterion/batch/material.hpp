// SPDX-License-Identifier: MIT
// What one gram of a raw material brings into the water phase: water, substances, and a charge that
// nobody weighed (alkaline residue, free acid).
#pragma once

#include <counterion/chemistry/solution.hpp>
#include <counterion/formula/formula.hpp>

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace counterion {

/// A component by its moles per gram of material, and the pieces each mole falls apart into.
struct MaterialPart {
  struct Piece {
    const tables::Substance* substance;
    double mol_per_mol;
  };
  std::string component;
  double mol_per_g = 0;
  double uncertainty_mol_per_g = 0;  ///< half width of the 90 % interval
  std::vector<Piece> pieces;
};

/// Strong charge per gram as supplied, + alkaline, - acid: middle and 90 % interval, and says who.
struct ResidualCharge {
  double middle_mol_per_g = 0;
  double low_mol_per_g = 0;
  double high_mol_per_g = 0;
  tables::Reliability reliability = tables::Reliability::assumption;
  std::string basis;   ///< "declared pH 11.5 to 12.5 at 10 %", "assumed span", …
  std::string source;  ///< key in sources; empty when the person declared it
  std::string row_id;
  /// Where it comes from a declared pH: for each part of the material the strong charge that a mole more
  /// of it brings along, so that the declared pH holds whatever the content.
  std::vector<double> tied_per_mol;
};

/// What one gram of a material brings.
struct Material {
  double water_g_per_g = 0;
  std::vector<MaterialPart> parts;
  ResidualCharge residual;
};

/// The material of a formula's line; a line's own declarations go before the tables.
Material material_of(const FormulaItem& item, const Tables& tables);
/// The material of a listed ingredient, made ready once for these tables and kept with them. Throws
/// UnknownIngredient.
const Material& material_of(std::string_view ingredient, const Tables& tables);

/// A substance's ladder as the chemistry floor wants it; the constants are the tables' rank 1 rows.
Protolyte protolyte_of(const tables::Substance& substance, const Tables& tables);

/// A polymer's site as the chemistry floor wants it.
AcidPolymer polymer_of(const tables::Substance& substance, const Tables& tables);

}  // namespace counterion
