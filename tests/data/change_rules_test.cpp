// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::SmallTables;
using test::tells;

namespace {

/// Small tables with this row as line 3 of changes: reactant to unit as given. Sodium benzoate
/// brings one substance, benzoic acid and sodium are substances, glycerin brings none.
std::vector<Problem> problems_of(const std::string& figures) {
  return SmallTables()
      .with("changes", "K002," + figures + ",4,6,25,80,Look.,habit,,,common-practice,")
      .problems();
}

}  // namespace

TEST_CASE("a slow reaction loads with its product, its figure and its unit") {
  for (const std::string figures : {
           "sodium-benzoate,benzoic-acid,acid-appears,rate-constant,1e-9,1/s",
           "sodium-benzoate,sodium + benzoic-acid,base-disappears,half-life,400,h",
           "sodium-benzoate,2 benzoic-acid + 12 sodium + inert,acid-disappears,half-life,400,h",
           "sodium-benzoate,inert,base-appears,unreacted-when-fresh,100,percent",
           "sodium-benzoate,benzoic-acid,acid-appears,lactone-to-acid-ratio,0.2,mol_per_mol",
           "glycerin,brown things,none,rate-constant,1e-9,1/s",
           "glycerin,brown things,acid-appears,trend,,",
           "glycerin,brown things,,pH-reached,4,pH",
       }) {
    CAPTURE(figures);
    CHECK(problems_of(figures).empty());
  }
}

TEST_CASE("a product is a sum of substances with whole numbers") {
  for (const std::string product : {"soda", "benzoic-acid +sodium", "0 sodium", "1.5 sodium",
                                    "2  sodium", "sodium + ", "", "100 sodium"}) {
    CAPTURE(product);
    const auto problems =
        problems_of("sodium-benzoate," + product + ",acid-appears,rate-constant,1e-9,1/s");
    CHECK(tells(problems, "changes.csv", 3, 3, "ids of the table substances or inert"));
  }
  const auto problems = problems_of("sodium-benzoate,sodium + soda,acid-appears,half-life,400,h");
  CHECK(tells(problems, "changes.csv", 3, 3,
              "'soda'; expected a sum such as '2 ammonia + carbonic-acid'"));
}

TEST_CASE("a speed has a value above nothing and its own unit") {
  auto problems = problems_of("sodium-benzoate,sodium,acid-appears,half-life,,h");
  CHECK(tells(problems, "changes.csv", 3, 6, "half-life without a value; expected more than 0"));
  problems = problems_of("sodium-benzoate,sodium,acid-appears,rate-constant,0,1/s");
  CHECK(tells(problems, "changes.csv", 3, 6, "rate-constant 0; expected more than 0"));
  problems = problems_of("sodium-benzoate,sodium,acid-appears,unreacted-when-fresh,101,percent");
  CHECK(tells(problems, "changes.csv", 3, 6, "at most 100"));
  problems = problems_of("sodium-benzoate,sodium,acid-appears,half-life,400,1/s");
  CHECK(tells(problems, "changes.csv", 3, 7, "'1/s' for half-life; expected h"));
  problems = problems_of("sodium-benzoate,sodium,none,rate-constant,1e-9,1/min");
  CHECK(tells(problems, "changes.csv", 3, 7, "'1/min' for rate-constant; expected 1/s"));
}

TEST_CASE("what a reaction does to acid and base is one of five words") {
  auto problems = problems_of("glycerin,brown things,sour,trend,,");
  CHECK(tells(problems, "changes.csv", 3, 4, "'sour'; expected acid-appears | base-appears"));
  problems = problems_of("sodium-benzoate,sodium,,rate-constant,1e-9,1/s");
  CHECK(tells(problems, "changes.csv", 3, 4, "''; expected acid-appears"));
}

TEST_CASE("what reacts is one substance") {
  auto problems = problems_of("glycerin,sodium,acid-appears,rate-constant,1e-9,1/s");
  CHECK(tells(problems, "changes.csv", 3, 2, "0 substances in glycerin; expected one"));
  problems =
      SmallTables()
          .edited("composition", "glycerin,inert,1,", "glycerin,citric-acid,0.5,")
          .with("composition", "glycerin,sodium-benzoate,0.5,,habit,,,common-practice,")
          .with(
              "changes",
              "K002,glycerin,sodium,acid-appears,half-life,4,h,,,,,Look.,habit,,,common-practice,")
          .problems();
  CHECK(tells(problems, "changes.csv", 3, 2, "2 substances in glycerin"));
}
