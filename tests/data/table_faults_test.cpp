// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::SmallTables;
using test::tells;

TEST_CASE("sound tables load and count their rows") {
  const auto tables = SmallTables().load();
  CHECK(SmallTables().problems().empty());
  CHECK(tables.sha256().size() == 64);
  CHECK(tables.schema_version() == "1.1");
  for (const auto& [name, count] : tables.row_counts()) {
    CAPTURE(name);
    CHECK(count > 0);
  }
}

TEST_CASE("rows carry their figures, their provenance and a row id") {
  const auto tables = SmallTables().load();
  const auto ladder = tables.constants_of("citric-acid");
  REQUIRE(ladder.size() == 3);
  CHECK(ladder[1].value == 4.76);
  CHECK(ladder[1].temperature_celsius == 25.0);
  CHECK_FALSE(ladder[1].dH_kJ_per_mol);
  CHECK(ladder[1].provenance.row_id == "constants/citric-acid/pK/2/book");
  CHECK(ladder[1].provenance.reliability == tables::Reliability::looked_up);
  const auto ranges = tables.ranges_of("niacinamide");
  REQUIRE(ranges.size() == 2);
  CHECK(ranges[0].provenance.row_id == "ranges/niacinamide/stability/book");
  CHECK(tables.levels_of("sodium-benzoate")[0].provenance.row_id ==
        "levels/sodium-benzoate/legal-maximum/EU/leave-on/entry-1/book");
  CHECK(tables.constants_of("sodium-benzoate")[0].provenance.row_id ==
        "constants/sodium-benzoate/dissociates-into/benzoic-acid/habit");
  CHECK(tables.source("book")->citation == "A handbook, third edition");
  CHECK(has_function(*tables.ingredient("citric-acid"), "adjuster"));
  CHECK(has_function(*tables.ingredient("citric-acid"), "acid"));
  CHECK_FALSE(has_function(*tables.ingredient("citric-acid"), "acid;adjuster"));
}

TEST_CASE("a subject without rows has none") {
  const auto tables = SmallTables().load();
  CHECK(tables.ranges_of("water").empty());
  CHECK(tables.constants_of("zzz").empty());
  CHECK(tables.source("zzz") == nullptr);
  CHECK(tables.substance("zzz") == nullptr);
  CHECK(tables.ingredient("zzz") == nullptr);
}

TEST_CASE("classes cover their members") {
  const auto tables = SmallTables().load();
  CHECK(tables.covers("alpha-hydroxy-acid", "citric-acid"));
  CHECK(tables.covers("citric-acid", "citric-acid"));
  CHECK_FALSE(tables.covers("acid-preservative", "citric-acid"));
  CHECK(tables.classes_of("citric-acid") == std::vector<std::string_view>{"alpha-hydroxy-acid"});
}

TEST_CASE("rows out of order are sorted by subject and found all the same") {
  auto tables =
      SmallTables().with("composition", "glycerin,water,0,,habit,,,common-practice,").load();
  CHECK(tables.composition_of("glycerin").size() == 2);
}

TEST_CASE("an unknown table is named") {
  const std::vector<Tables::NamedText> texts{{"recipes", "recipes.csv", "a\n1\n"}};
  CHECK_THROWS_WITH_AS(Tables::from_texts(texts), doctest::Contains("no table is called 'recipes'"),
                       BadInput);
}

TEST_CASE("unknown and missing columns are named") {
  const auto problems =
      SmallTables().edited("names", "name,ingredient", "title,ingredient").problems();
  CHECK(tells(problems, "names.csv", 1, 1, "unknown column 'title'"));
  CHECK(tells(problems, "names.csv", 1, 0, "no column name"));
}

TEST_CASE("a row must be as long as the header") {
  const auto problems = SmallTables().with("names", "soda,sodium-benzoate").problems();
  CHECK(tells(problems, "names.csv", 9, 0, "2 cells"));
}

TEST_CASE("text where a number belongs is shown with its place") {
  const auto problems =
      SmallTables().edited("ranges", "stability,3,5", "stability,about 3,5").problems();
  CHECK(tells(problems, "ranges.csv", 2, 3, "'about 3' in minimum; expected a number"));
}

TEST_CASE("a decimal comma is no number in the tables") {
  const auto problems =
      SmallTables().edited("ranges", "stability,3,", "stability,\"3,5\",").problems();
  CHECK(tells(problems, "ranges.csv", 2, 3, "'3,5' in minimum"));
}

TEST_CASE("unknown words are shown with those that are known") {
  auto problems = SmallTables().edited("cautions", ",caution,", ",warning,").problems();
  CHECK(tells(problems, "cautions.csv", 2, 9, "expected stop | caution | note"));
  problems = SmallTables().edited("ranges", "product:any,skin", "product:any,touch").problems();
  CHECK(tells(problems, "ranges.csv", 4, 2, "'touch'"));
}

TEST_CASE("a row without a source does not load") {
  auto problems =
      SmallTables().edited("names", "E330,citric-acid,1,habit", "E330,citric-acid,1,").problems();
  CHECK(tells(problems, "names.csv", 2, 4, "an empty cell"));
  problems =
      SmallTables().edited("names", "E330,citric-acid,1,habit", "E330,citric-acid,1,rumour").problems();
  CHECK(tells(problems, "names.csv", 2, 4, "'rumour'; expected a key of the table sources"));
}

TEST_CASE("a figure that was looked up has a locator and is shown as printed") {
  const auto problems = SmallTables().edited("constants", "book,p. 1,4.20", "book,,").problems();
  CHECK(tells(problems, "constants.csv", 2, 15, "a locator"));
  CHECK(tells(problems, "constants.csv", 2, 16, "as it is printed"));
}

TEST_CASE("spans run upwards") {
  auto problems =
      SmallTables().edited("ranges", "stability,3,5,7,8", "stability,3,5,7,6").problems();
  CHECK(tells(problems, "ranges.csv", 2, 6, "maximum 6; expected no less than ideal_high, 7"));
  problems = SmallTables().edited("levels", "-0.01,0.01", "0.01,-0.01").problems();
  CHECK(tells(problems, "levels.csv", 2, 4, "upper_value"));
}

TEST_CASE("nothing dangles") {
  auto problems = SmallTables().with("classes", "oil,olive,habit").problems();
  CHECK(tells(problems, "classes.csv", 5, 2, "'olive'"));
  problems =
      SmallTables().with("ranges", "honey,stability,3,,,5,,,x,1,,habit,,,memory,").problems();
  CHECK(tells(problems, "ranges.csv", 5, 1, "'honey'"));
  problems = SmallTables().edited("composition", "glycerin,inert", "glycerin,sugar").problems();
  CHECK(tells(problems, "composition.csv", 5, 2, "'sugar'"));
  problems = SmallTables().edited("constants", ",,sodium,1", ",,natrium,1").problems();
  CHECK(tells(problems, "constants.csv", 7, 4, "'natrium'"));
}

TEST_CASE("fractions of an ingredient add up to one within 0.002") {
  CHECK(SmallTables().edited("composition", "water,0.0857", "water,0.087").problems().empty());
  const auto problems =
      SmallTables().edited("composition", "water,0.0857", "water,0.0883").problems();
  CHECK(tells(problems, "composition.csv", 4, 3, "add up to 1.0026"));
}

TEST_CASE("every ingredient says what it brings") {
  const auto problems =
      SmallTables().with("ingredients", "urea,Urea,57-13-6,,water,,,habit,,,memory,").problems();
  CHECK(tells(problems, "ingredients.csv", 12, 1, "urea without composition"));
}

TEST_CASE("each fact has exactly one row of rank 1") {
  auto problems = SmallTables().edited("ranges", ",2,older", ",1,older").problems();
  CHECK(tells(problems, "ranges.csv", 3, 10, "a second row of rank 1 for niacinamide/stability"));
  problems = SmallTables().edited("ranges", ",1,newer", ",3,newer").problems();
  CHECK(tells(problems, "ranges.csv", 2, 10, "no row of rank 1 for niacinamide/stability"));
}

TEST_CASE("pK climb from step 1 on, each with its uncertainty") {
  auto problems = SmallTables().edited("constants", "pK,2,,4.76", "pK,2,,2.76").problems();
  CHECK(tells(problems, "constants.csv", 4, 5, "pK 2.76 of citric-acid"));
  problems = SmallTables().edited("constants", "pK,3,,6.40", "pK,4,,6.40").problems();
  CHECK(tells(problems, "constants.csv", 5, 3, "step 4 of citric-acid; expected step 3"));
  problems = SmallTables().edited("constants", "4.2,,0.01", "4.2,,").problems();
  CHECK(tells(problems, "constants.csv", 2, 7, "without uncertainty"));
}

TEST_CASE("a protolyte has pK and a compound has parts") {
  auto problems = SmallTables()
                      .with("substances", "urate,urate,protolyte,168,0,habit,,,memory,")
                      .with("substances", "salt,salt,compound,58,0,habit,,,memory,")
                      .problems();
  CHECK(tells(problems, "substances.csv", 6, 3, "protolyte urate without pK"));
  CHECK(tells(problems, "substances.csv", 7, 3, "compound salt without parts"));
}

TEST_CASE("keys and names stand once") {
  auto problems = SmallTables().with("sources", "book,paper,Another,").problems();
  CHECK(tells(problems, "sources.csv", 4, 1, "the key book again, first in line 2"));
  problems = SmallTables().with("names", "Glycerol!,glycerin,1,habit").problems();
  CHECK(tells(problems, "names.csv", 9, 1, "'Glycerol!' reads like 'glycerol' in line 3"));
  problems = SmallTables().with("names", "Glycerol!,niacinamide,1,habit").problems();
  CHECK(tells(problems, "names.csv", 9, 3, "a second row of rank 1 for 'Glycerol!', first in line 3"));
  problems = SmallTables().with("names", "sugar water,glycerin,2,habit").problems();
  CHECK(tells(problems, "names.csv", 9, 3, "no row of rank 1 for 'sugar water'"));
}

TEST_CASE("a wrong digit in a CAS number shows") {
  const auto problems = SmallTables().edited("ingredients", "56-81-5", "56-81-6").problems();
  CHECK(tells(problems, "ingredients.csv", 4, 3, "'56-81-6'; expected a CAS number whose check digit fits"));
}

TEST_CASE("the reference tables have no row that only a user's own folder may have") {
  const auto problems = SmallTables().edited("ranges", "older,habit,,,common-practice", "older,habit,,,own").problems();
  CHECK(tells(problems, "ranges.csv", 3, 15, "'own' in the reference tables"));
}

TEST_CASE("all faults of all tables are told at once") {
  const auto problems = SmallTables()
                            .edited("ranges", "stability,3,5", "stability,x,5")
                            .edited("names", "E330,citric-acid,1,habit", "E330,lemon,1,habit")
                            .edited("cautions", ",caution,", ",warning,")
                            .problems();
  CHECK(problems.size() == 3);
}

TEST_CASE("slips of a unit, a market, a product or a span are told") {
  const auto tell = [](const std::string& table, const std::string& old, const std::string& now, std::size_t line,
                       std::size_t column, const std::string& words) {
    CAPTURE(now);
    CHECK(tells(SmallTables().edited(table, old, now).problems(), table + ".csv", line, column, words));
  };
  tell("levels", "0.5,,percent", "0.5,,g_per_kg", 3, 5, "'g_per_kg' for legal-maximum; expected percent");
  tell("levels", "-0.01,0.01", "-45,48", 2, 3, "value -45; expected -30 to 30");
  tell("levels", ",EU,", ",eu,", 3, 6, "'eu' as market; expected Canada, China, EU, Japan, US");
  tell("levels", ",leave-on,", ",leaveon,", 3, 7, "'leaveon' as product");
  tell("levels", "legal-maximum", "legal-minimum", 3, 2, "'legal-minimum'");
  tell("ranges", "stability,3,5,7,8", "stability,3,5,7,45", 2, 6, "maximum 45; expected 0 to 14");
  tell("ranges", "product:any", "product:facee", 4, 1, "'product:facee'");
  tell("composition", "0.9143", "1.9143", 3, 3, "mass_fraction 1.9143; expected 0 to 1");
  tell("substances", "122.12", "0", 2, 4, "molar_mass_g_per_mol 0");
  tell("ingredients", "glycerin,Glycerin", "Gly cerin,Glycerin", 4, 1, "'Gly cerin'");
  tell("names", "name,ingredient,rank", "name,name,rank", 1, 2, "a second column 'name'");
}

TEST_CASE("a set of tables that stands alone has every table") {
  const std::vector<Tables::NamedText> none;
  CHECK_THROWS_WITH_AS(Tables::from_texts(none), doctest::Contains("no table levels"), BadInput);
}
