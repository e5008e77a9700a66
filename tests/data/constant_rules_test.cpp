// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::SmallTables;
using test::tells;

namespace {

/// Small tables with a solvent and the ions of water, and this row as line 8 of constants:
/// substance to uncertainty as given, then dH and dCp.
SmallTables with_constant(const std::string& figures, const std::string& heats = ",") {
  SmallTables tables;
  tables.with("substances", "ethanol,ethanol,neutral,46.07,0,habit,,,computed,")
      .with("substances", "chloride,chloride ion,ion,35.45,-1,habit,,,computed,");
  return tables.with("constants", figures + "," + heats + ",25,,1,,habit,,,memory,");
}

std::vector<Problem> problems_of(const std::string& figures, const std::string& heats = ",") {
  return with_constant(figures, heats).problems();
}

}  // namespace

TEST_CASE("every quantity loads with its own unit, partner and step") {
  for (const std::string figures : {
           "benzoic-acid,oil-water-partition,,vegetable-oil,5.33,ratio,0.15",
           "benzoic-acid,oil-water-partition,,unknown-oil,0.73,ratio,0.86",
           "benzoic-acid,oil-dimerisation,,mineral-oil,4000,litre_per_mol,0.5",
           "benzoic-acid,micelle-binding,,polysorbate,0.35,per_percent,0.3",
           "benzoic-acid,micelle-binding,,nonionic-ethoxylate,0.4,per_percent,0.3",
           "benzoic-acid,neutral-solubility,,,0.027,mol_per_kg,0.006",
           "benzoic-acid,partial-pressure,,air,0.0004,atm,0.0001",
           "ethanol,solvent-shift,1,neutral-acid,1.6,pK_per_mass_fraction,0.3",
           "ethanol,solvent-shift,2,cationic-acid,-0.5,pK_per_mass_fraction_squared,0.6",
           "ethanol,solvent-shift,2,benzoic-acid,3.6,pK_per_mass_fraction_squared,0.5",
           "sodium,specific-ion-interaction,,chloride,0.03,kg_per_mol,0.01",
           "sodium,specific-ion-interaction,0,citric-acid:3,-0.08,kg_per_mol,0.04",
           "citric-acid,specific-ion-interaction,3,citric-acid:2,-0.1,kg_per_mol,0.04",
           "sodium,ion-size,,,4,angstrom,",
       }) {
    CAPTURE(figures);
    CHECK(problems_of(figures).empty());
  }
}

TEST_CASE("an unknown quantity is shown with those that are known") {
  const auto problems = problems_of("benzoic-acid,smell,,,1,ratio,1");
  CHECK(tells(problems, "constants.csv", 8, 2, "'smell'; expected counts-as | dissociates-into | henry"));
}

TEST_CASE("each quantity has one unit") {
  auto problems = problems_of("benzoic-acid,oil-water-partition,,ester-oil,8,per_percent,0.4");
  CHECK(tells(problems, "constants.csv", 8, 6, "'per_percent' for oil-water-partition"));
  CHECK(tells(problems, "constants.csv", 8, 6, "expected ratio"));
  problems = problems_of("ethanol,solvent-shift,2,neutral-acid,1,pK_per_mass_fraction,0.3");
  CHECK(tells(problems, "constants.csv", 8, 6, "expected pK_per_mass_fraction_squared"));
  problems = problems_of("benzoic-acid,neutral-solubility,,,0.03,,0.01");
  CHECK(tells(problems, "constants.csv", 8, 6, "no unit for neutral-solubility"));
  problems = SmallTables().edited("constants", "4.2,,0.01", "4.2,ratio,0.01").problems();
  CHECK(tells(problems, "constants.csv", 2, 6, "'ratio' for pK; expected an empty cell"));
}

TEST_CASE("figures keep their sign and range, and have an uncertainty") {
  auto problems = problems_of("benzoic-acid,oil-water-partition,,ester-oil,0,ratio,0.4");
  CHECK(tells(problems, "constants.csv", 8, 5, "oil-water-partition 0; expected more than 0"));
  problems = problems_of("benzoic-acid,partial-pressure,,air,425,atm,12");
  CHECK(tells(problems, "constants.csv", 8, 5, "at most 1"));
  problems = problems_of("sodium,specific-ion-interaction,,chloride,3,kg_per_mol,0.01");
  CHECK(tells(problems, "constants.csv", 8, 5, "specific-ion-interaction 3"));
  problems = problems_of("benzoic-acid,oil-water-partition,,ester-oil,8,ratio,");
  CHECK(tells(problems, "constants.csv", 8, 7, "without uncertainty"));
}

TEST_CASE("a Henry constant has an enthalpy and a heat capacity") {
  const std::string figures = "benzoic-acid,henry-constant,,air,0.034,mol_per_kg_per_atm,0.001";
  CHECK(problems_of(figures, "-20,179").empty());
  const auto problems = problems_of(figures);
  CHECK(tells(problems, "constants.csv", 8, 8, "the enthalpy of dissolution"));
  CHECK(tells(problems, "constants.csv", 8, 9, "the heat capacity of dissolution"));
}

TEST_CASE("partners are of the kind the quantity needs") {
  auto problems = problems_of("benzoic-acid,oil-water-partition,,silicone,8,ratio,0.4");
  CHECK(tells(problems, "constants.csv", 8, 4, "'silicone'; expected vegetable-oil | mineral-oil"));
  problems = problems_of("benzoic-acid,micelle-binding,,vegetable-oil,8,per_percent,0.4");
  CHECK(tells(problems, "constants.csv", 8, 4, "polysorbate | nonionic-ethoxylate"));
  problems = problems_of("benzoic-acid,neutral-solubility,,sodium,0.03,mol_per_kg,0.01");
  CHECK(tells(problems, "constants.csv", 8, 4, "'sodium'; expected an empty cell"));
  problems = problems_of("benzoic-acid,partial-pressure,,,0.0004,atm,0.0001");
  CHECK(tells(problems, "constants.csv", 8, 4, "an empty cell; expected air"));
  problems = problems_of("ethanol,solvent-shift,1,sodium,1,pK_per_mass_fraction,0.3");
  CHECK(tells(problems, "constants.csv", 8, 4, "neutral-acid | anionic-acid | cationic-acid"));
}

TEST_CASE("subjects are of the kind the quantity needs") {
  auto problems = problems_of("benzoic-acid,solvent-shift,1,neutral-acid,1,pK_per_mass_fraction,1");
  CHECK(tells(problems, "constants.csv", 8, 1, "'benzoic-acid'; expected a substance of the kind"));
  problems = problems_of("sodium,oil-water-partition,,ester-oil,8,ratio,0.4");
  CHECK(tells(problems, "constants.csv", 8, 1, "'sodium'; expected a substance of the kind"));
}

TEST_CASE("steps are those of the quantity") {
  auto problems = problems_of("ethanol,solvent-shift,3,neutral-acid,1,pK_per_mass_fraction,1");
  CHECK(tells(problems, "constants.csv", 8, 3, "step 3 of ethanol; expected 1 to 2"));
  problems = problems_of("benzoic-acid,neutral-solubility,1,,0.03,mol_per_kg,0.01");
  CHECK(tells(problems, "constants.csv", 8, 3, "expected an empty cell"));
}

TEST_CASE("ions interact in forms that have a charge") {
  for (const std::string partner : {"citric-acid", "citric-acid:4", "citric-acid:0",
                                    "citric-acid:x", "sodium:1", "ethanol", "lemon:1"}) {
    CAPTURE(partner);
    const auto problems =
        problems_of("sodium,specific-ion-interaction,," + partner + ",0,kg_per_mol,0.1");
    CHECK(
        tells(problems, "constants.csv", 8, 4, "'" + partner + "'; expected a charged substance"));
  }
  for (const std::string step : {"", "4"}) {
    CAPTURE(step);
    const auto problems =
        problems_of("citric-acid,specific-ion-interaction," + step + ",sodium,0,kg_per_mol,0.1");
    CHECK(tells(problems, "constants.csv", 8, 3, "no charge or does not exist"));
  }
}

TEST_CASE("a pair of ions does not stand twice, turned round") {
  const auto problems =
      with_constant("citric-acid,specific-ion-interaction,1,sodium,-0.05,kg_per_mol,0.04")
          .with("constants",
                "sodium,specific-ion-interaction,,citric-acid:1,-0.05,kg_per_mol,0.04,,,25,,1,,"
                "habit,,,memory,")
          .problems();
  CHECK(tells(problems, "constants.csv", 9, 4, "sodium with citric-acid:1 again"));
}

TEST_CASE("a constant is found by quantity, partner and step, first choice only") {
  const auto tables =
      with_constant("benzoic-acid,oil-water-partition,,ester-oil,8,ratio,0.4")
          .with("constants", "benzoic-acid,pK,1,,4.19,,0.02,,,25,0,2,,habit,,,memory,")
          .load();
  REQUIRE(tables.constant("benzoic-acid", "oil-water-partition", "ester-oil") != nullptr);
  CHECK(tables.constant("benzoic-acid", "oil-water-partition", "ester-oil")->value == 8);
  CHECK(tables.constant("benzoic-acid", "oil-water-partition", "mineral-oil") == nullptr);
  REQUIRE(tables.constant("benzoic-acid", "pK", "", 1) != nullptr);
  CHECK(tables.constant("benzoic-acid", "pK", "", 1)->value == 4.2);
  CHECK(tables.constant("benzoic-acid", "pK") == nullptr);
  CHECK(tables.constant("zzz", "pK", "", 1) == nullptr);
}

TEST_CASE("an interaction is found whichever way round it stands") {
  const auto tables =
      with_constant("citric-acid,specific-ion-interaction,3,sodium,-0.08,kg_per_mol,0.04").load();
  const auto* row = tables.interaction("sodium", 0, "citric-acid", 3);
  REQUIRE(row != nullptr);
  CHECK(row->value == -0.08);
  CHECK(tables.interaction("citric-acid", 3, "sodium", 0) == row);
  CHECK(tables.interaction("citric-acid", 2, "sodium", 0) == nullptr);
  CHECK(tables.interaction("sodium", 0, "sodium", 0) == nullptr);
}
