// SPDX-License-Identifier: MIT
// Acids, bases and ampholytes: a ladder of proton losses; and ions whose charge never changes.
#pragma once

#include <counterion/chemistry/water.hpp>
#include <counterion/error.hpp>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace counterion {

/// One loss of a proton: pK at 25 °C and no ionic strength, enthalpy and heat capacity of ionisation,
/// half width of the pK's 90 % interval.
struct Ionisation {
  double pK = 0;
  double dH_kJ_per_mol = 0;
  double dCp_J_per_mol_K = 0;
  double uncertainty = 0;
  bool operator==(const Ionisation&) const = default;
};

namespace chemistry {
inline constexpr double default_ion_size_angstrom = 4.5;

/// What is taken of either sign for a pK, and of an amount in mol/kg.
inline constexpr double most_pK = 60, most_molality = 1e6;

/// pK at another temperature with constant heat capacity.
/// Clarke and Glew, Trans. Faraday Soc. 62, 539 (1966; from memory), cut after the ΔCp term.
inline double pK_at(const Ionisation& step, double kelvin) {
  const double T0 = reference_kelvin, T = kelvin, R = gas_constant_J_per_mol_K;
  const double ln_K = -step.pK * ln10 + step.dH_kJ_per_mol * 1000 / R * (1 / T0 - 1 / T) +
                      step.dCp_J_per_mol_K / R * (T0 / T - 1 + std::log(T / T0));
  return -ln_K / ln10;
}
}  // namespace chemistry

/// A substance that gives up protons one after another; immutable.
class Protolyte {
 public:
  /// `charge` is that of the fully protonated form; `ion_sizes_angstrom` has one entry a form, or none.
  /// Throws BadInput when there is no step, a number is not finite, or the sizes do not match.
  Protolyte(int charge, std::vector<Ionisation> steps, std::string name = {},
            std::vector<double> ion_sizes_angstrom = {})
      : charge_(charge),
        steps_(std::move(steps)),
        name_(std::move(name)),
        ion_sizes_(std::move(ion_sizes_angstrom)) {
    require_valid();
  }
  const std::string& name() const noexcept { return name_; }
  int charge_fully_protonated() const noexcept { return charge_; }
  const std::vector<Ionisation>& steps() const noexcept { return steps_; }
  /// Ion size in ångström of the form that has lost `protons` protons.
  double ion_size_angstrom(std::size_t protons) const {
    return ion_sizes_.empty() ? chemistry::default_ion_size_angstrom : ion_sizes_.at(protons);
  }
  bool operator==(const Protolyte&) const = default;

 private:
  void require_valid() const {
    std::vector<Problem> problems;
    const auto say = [&](std::string found, std::string expected) {
      problems.push_back(Problem{Place{}, called() + found, std::move(expected), {}});
    };
    if (steps_.empty()) say(" has no pK", "at least one");
    for (const auto& step : steps_)
      if (!(std::abs(step.pK) <= chemistry::most_pK) || !std::isfinite(step.dH_kJ_per_mol) ||
          !std::isfinite(step.dCp_J_per_mol_K) || !(step.uncertainty >= 0))
        say(" has pK " + std::to_string(step.pK), "finite numbers, a pK from -60 to 60");
    if (std::abs(charge_) > 60)
      say(" has charge " + std::to_string(charge_), "a charge from -60 to 60");
    if (!ion_sizes_.empty() && ion_sizes_.size() != steps_.size() + 1)
      say(" has " + std::to_string(ion_sizes_.size()) + " ion sizes", "one for each form");
    for (const double size : ion_sizes_)
      if (!(size >= 0) || !std::isfinite(size)) say(" has an ion size that is no length", "0 or more");
    if (!problems.empty()) throw BadInput(std::move(problems));
  }
  std::string called() const { return name_.empty() ? "protolyte" : "protolyte '" + name_ + "'"; }

  int charge_;
  std::vector<Ionisation> steps_;
  std::string name_;
  std::vector<double> ion_sizes_;
};

/// An ion whose charge no pH changes (Na+, K+, Cl-, …); charge 0 is an inert neutral solute.
struct StrongIon {
  std::string name;
  int charge = 0;
  double ion_size_angstrom = chemistry::default_ion_size_angstrom;
  bool operator==(const StrongIon&) const = default;
};

}  // namespace counterion
