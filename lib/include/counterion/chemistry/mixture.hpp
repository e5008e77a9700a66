// SPDX-License-Identifier: MIT
// What the solver sees of a solution: numbers only, per kilogram of water.
#pragma once

#include <counterion/chemistry/neutral_form.hpp>
#include <counterion/chemistry/polymer.hpp>
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
  std::string name;             ///< of the protolyte, for models that tell ions apart

  Ladder() = default;
  Ladder(const Protolyte& protolyte, double kelvin)
      : charge(protolyte.charge_fully_protonated()), name(protolyte.name()) {
    for (const auto& step : protolyte.steps()) K.push_back(std::pow(10.0, -pK_at(step, kelvin)));
    for (std::size_t j = 0; j <= K.size(); ++j) ion_size.push_back(protolyte.ion_size_angstrom(j));
  }
  bool operator==(const Ladder&) const = default;
  /// The largest |charge| of any form.
  int largest_charge() const {
    const int last = charge - static_cast<int>(K.size());
    return std::max(std::abs(charge), std::abs(last));
  }
};

/// A ladder, how much there is of it, and where its neutral form goes.
struct Dissolved {
  double molality = 0;
  Ladder ladder;
  NeutralForm neutral = {};
};

/// Sites of an acid polymer, in moles of sites.
struct PolymerSites {
  double molality = 0;
  AcidPolymer polymer;
};

/// An inert ion or solute, for models that tell ions apart.
struct InertIon {
  std::string name;
  int charge = 0;
  double molality = 0;
};

/// The acid-base systems and everything inert, in moles per kilogram of water.
struct Mixture {
  std::vector<Dissolved> protolytes;
  std::vector<PolymerSites> polymers;
  std::vector<InertIon> ions;
  double strong_charge = 0;  ///< Σ z m over inert ions
  double strong_ionic = 0;   ///< ½ Σ z² m over inert ions
  double inert_solutes = 0;  ///< Σ m over inert ions and neutral solutes

  void add_ion(int charge, double molality, std::string name) {
    strong_charge += charge * molality;
    strong_ionic += 0.5 * charge * charge * molality;
    inert_solutes += molality;
    if (charge != 0 && molality != 0) ions.push_back({std::move(name), charge, molality});
  }
  /// Inert sodium (+) or chloride (-).
  void add_strong_charge(double charge) {
    add_ion(charge < 0 ? -1 : 1, std::abs(charge), charge < 0 ? "chloride" : "sodium");
  }
  /// Everything weighed in, H+ and OH- left out; what a gas or crystals hold without end is no part of it.
  double solutes() const {
    double sum = inert_solutes;
    for (const auto& part : protolytes)
      if (!part.neutral.held) sum += part.molality;
    return sum;
  }
  /// No charge of either sign can exceed this plus the water's own ions, what is held aside.
  double charge_scale() const {
    double sum = std::abs(strong_charge);
    for (const auto& part : protolytes)
      if (!part.neutral.held) sum += part.molality * part.ladder.largest_charge();
    for (const auto& part : polymers) sum += part.molality;
    return sum;
  }
};

}  // namespace counterion::chemistry
