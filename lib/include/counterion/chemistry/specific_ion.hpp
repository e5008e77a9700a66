// SPDX-License-Identifier: MIT
// Specific ion interaction theory: every ion's coefficient depends on which ions stand beside it, so
// the sums of interactions and the balance are settled together.
#pragma once

#include <counterion/chemistry/model_choice.hpp>
#include <counterion/chemistry/solve.hpp>

namespace counterion::chemistry {

/// The theory holds to about this much of ions in all (mol/kg, ionic strength near 4); beyond, its sums
/// stay what they are there.
inline constexpr double specific_ion_limit = 8;

/// A mixture whose ladders carry the sums of interactions in their constants.
struct SettledMedium {
  Root root;
  Mixture mixture;
  SettledSpecificIonModel model;
};

/// The ions of a mixture, their molalities and the sums of interactions that each of them feels.
class IonicMedium {
 public:
  IonicMedium(const Mixture& mixture, const Interactions& interactions);

  /// Ladders and model with the present sums.
  void put_into(SettledMedium& settled, const Mixture& mixture) const;
  /// Counts the ions at a root and renews the sums; the largest change of any.
  double renew(const SettledMedium& settled, const Solvent& solvent);
  /// Goes only this part of the way from the sums before to the new ones.
  void hold_back(double part);

 private:
  struct Term {
    std::size_t partner;
    double epsilon;  ///< times ln 10
  };
  void add(Ion ion) { ions_.push_back(std::move(ion)); }
  void count(const SettledMedium& settled, const Solvent& solvent);

  std::vector<Ion> ions_;  ///< H+, OH-, inert ones, then every form of every protolyte
  std::vector<std::vector<Term>> terms_;
  std::vector<double> molality_, sum_, before_;
  std::size_t inert_ = 0;
};

/// pH with the interactions settled; every model's `settle` has this shape.
SettledMedium settle(const Mixture& mixture, const Water& water, const SpecificIonModel& model);

inline Root solve(const Mixture& mixture, const Water& water, const SpecificIonModel& model) {
  return settle(mixture, water, model).root;
}

}  // namespace counterion::chemistry
