// SPDX-License-Identifier: MIT
// What a ladder's forms carry on average.
#pragma once

namespace counterion::chemistry {

/// Averages over the forms of one ladder, and their slopes in x = ln a(H+) and u = √I.
template <class Number>
struct MeanChargeOf {
  Number z{}, z_by_x{}, z_by_u{};           ///< mean charge; z_by_x is its variance
  Number up{}, up_by_x{}, up_by_u{};        ///< the part of it that cations carry
  Number down{}, down_by_x{}, down_by_u{};  ///< the part that anions carry, as a positive number
  Number z2{}, z2_by_x{}, z2_by_u{};        ///< mean squared charge
  Number slope{};    ///< mean d ln γ/du
  Number neutral{};  ///< share of the neutral form free in the water
};
using MeanCharge = MeanChargeOf<double>;

}  // namespace counterion::chemistry
