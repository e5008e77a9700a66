// SPDX-License-Identifier: MIT
// What a stay in the warm stands for on the shelf.
#pragma once

#include <counterion/batch/drift.hpp>

namespace counterion {

/// So many days at the shelf's temperature do to one reaction what the stay does: 90 % interval.
struct ShelfTime {
  std::size_t item = 0;  ///< line of the formula that reacts
  std::string row_id;    ///< of the reaction, as in DriftCause
  double days = 0, low = 0, high = 0;
};

/// What a stay does, reaction by reaction, as days at `shelf_celsius`: by Arrhenius' law, with the
/// activation energies of the tables and their ±. In the order of the formula's lines; empty where
/// nothing reacts at a known speed. Throws BadInput for a stay of negative or infinite days or
/// temperatures outside of -20 to 80 °C.
std::vector<ShelfTime> on_the_shelf(const Formula& formula, const WaterPhase& phase,
                                    const Tables& tables, const Stay& stay,
                                    double shelf_celsius = 25);

}  // namespace counterion
