// SPDX-License-Identifier: MIT
// The solutions that the benchmarks solve; their constants are inputs, no recommendation.
#pragma once

#include <counterion/chemistry/solution.hpp>

#include <vector>

namespace benchmarks {

/// Acetic, lactic, salicylic, succinic and tartaric acid and hydrogensulfate with 0.07 mol/kg of sodium:
/// row S096 of tests/chemistry/data/engine_reference.csv.
std::vector<counterion::Amount> six_acids();
inline constexpr double ph_of_six_acids = 3.8209338928;

/// The same without sodium.
std::vector<counterion::Amount> six_acids_alone();

/// What that row was computed with: Davies' equation without an end, the engine's constants of water.
counterion::Conditions engine_conditions();

/// So many triprotic acids, their pK spread over four units a step, 0.1 mol/kg in all, half neutralised.
std::vector<counterion::Amount> protolytes(std::size_t count);

/// An ingredient that is known only so far: standard deviations of its amount (relative) and of its pK.
struct Uncertain {
  counterion::Amount amount;
  double amount_deviation = 0, pK_deviation = 0;
  std::vector<double> pK() const;
};

/// The water of a gel cream: 20 ingredients with 20 amounts and 28 pK.
std::vector<Uncertain> gel_cream();
std::vector<counterion::Amount> amounts_of(const std::vector<Uncertain>& formula);

/// What stays outside of a measured loop: a solution made ready for the solver.
class Prepared {
 public:
  Prepared(const std::vector<counterion::Amount>& amounts, const counterion::Conditions& conditions);
  double ph() const;

 private:
  counterion::Water water_;
  counterion::chemistry::Mixture mixture_;
  counterion::chemistry::DaviesModel model_;
};

/// Ends the program where two pH differ by more than 1e-8: what is wrong is not timed.
void require_same_ph(double found, double expected);

}  // namespace benchmarks
