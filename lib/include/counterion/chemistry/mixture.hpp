// SPDX-License-Identifier: MIT
// What the solver sees of a solution: numbers only, per kilogram of water.
#pragma once

#include <counterion/chemistry/protolyte.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace counterion::chemistry {

/// A protolyte's ladder at one temperature.
struct Ladder {
  int charge = 0;               ///< of the fully protonated form
  std::vector<double> K;        ///< acidity constants, most acid first
  std::vector<double> ion_size; ///< ångström, one more than K

  Ladder() = default;
  Ladder(const Protolyte& protolyte, double kelvin) : charge(protolyte.charge_fully_protonated()) {
    for (const auto& step : protolyte.steps()) K.push_back(std::pow(10.0, -pK_at(step, kelvin)));
    for (std::size_t j = 0; j <= K.size(); ++j) ion_size.push_back(protolyte.ion_size_angstrom(j));
  }
  /// The largest |charge| of any form.
  int largest_charge() const {
    const int last = charge - static_cast<int>(K.size());
    return std::max(std::abs(charge), std::abs(last));
  }
};

/// A ladder and how much there is of it.
struct Dissolved {
  double molality = 0;
  Ladder ladder;
};

/// The acid-base systems and everything inert, in moles per kilogram of water.
struct Mixture {
  std::vector<Dissolved> protolytes;
  double strong_charge = 0;  ///< Σ z m over inert ions
  double strong_ionic = 0;   ///< ½ Σ z² m over inert ions
  double inert_solutes = 0;  ///< Σ m over inert ions and neutral solutes

  void add_ion(int charge, double molality) {
    strong_charge += charge * molality;
    strong_ionic += 0.5 * charge * charge * molality;
    inert_solutes += molality;
  }
  /// Everything dissolved, H+ and OH- left out.
  double solutes() const {
    double sum = inert_solutes;
    for (const auto& part : protolytes) sum += part.molality;
    return sum;
  }
  /// No charge of either sign can exceed this plus the water's own ions.
  double charge_scale() const {
    double sum = std::abs(strong_charge);
    for (const auto& part : protolytes) sum += part.molality * part.ladder.largest_charge();
    return sum;
  }
};

}  // namespace counterion::chemistry
