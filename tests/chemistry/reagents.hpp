// SPDX-License-Identifier: MIT
// What the reagents of buffer recipes fall apart into, with the tests' own constants.
#pragma once

#include "rows.hpp"

namespace test {

/// The reagents of data/reagents.csv over the acids of data/constants.csv.
class Reagents {
 public:
  Reagents();
  /// Adds what this molality of a reagent brings; an unknown reagent fails the test.
  void add(std::vector<counterion::Amount>& amounts, const std::string& reagent,
           double mol_per_kg) const;

 private:
  std::map<std::string, counterion::Protolyte> acids_;
  std::map<std::string, std::string> parts_;
};

/// The interaction coefficients of data/interactions.csv.
std::shared_ptr<const counterion::Interactions> interactions();

}  // namespace test
