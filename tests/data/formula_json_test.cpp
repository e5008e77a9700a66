// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"
#include "small_tables.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::percent_of;
using test::problems_of;
using test::read;
using test::says;
using test::tells;

TEST_CASE("a formula is read from JSON") {
  const auto formula = read(R"({
    "name": "Wash", "batch_g": 250, "type": "body", "use": "rinse-off",
    "items": [
      {"ingredient": "Water", "to_100": true, "phase": "A"},
      {"ingredient": "Lactic acid", "percent": 0.5, "strength_percent": 90, "note": "last"},
      {"ingredient": "My extract", "percent": 2, "declared_pH": [4.5, 5.5], "declared_at_percent": 10}
    ]})");
  CHECK(formula.name == "Wash");
  CHECK(formula.batch_g == 250);
  CHECK(formula.product_type == "body");
  CHECK(formula.use == "rinse-off");
  REQUIRE(formula.items.size() == 3);
  CHECK(formula.items[0].percent == 97.5);
  CHECK(formula.items[0].phase == "A");
  CHECK(formula.items[1].ingredient == "lactic-acid-90");
  CHECK(formula.items[1].note == "last");
  CHECK_FALSE(formula.items[2].listed());
  CHECK(formula.items[2].declared_ph_high == 5.5);
  CHECK(formula.items[2].declared_at_percent == 10.0);
  CHECK(formula.items[2].place.file == "f.csv at items[2].ingredient");
}

TEST_CASE("grams in JSON are shares of their total") {
  const auto formula = read(
      R"({"items": [{"ingredient": "Water", "grams": 194}, {"ingredient": "Glycerin", "grams": 6}]})");
  CHECK(formula.batch_g == 200);
  CHECK(percent_of(formula, "glycerin") == doctest::Approx(3));
}

TEST_CASE("faults in JSON are told with their path, all at once") {
  const auto problems = problems_of(R"({
    "batch_g": -1, "use": "drink",
    "items": [
      {"ingredient": "Watr", "to_100": true},
      {"ingredient": "Glycerin", "percent": "3"},
      {"ingredient": "Urea", "percent": -3},
      {"ingredient": "Urea"},
      {"ingredient": "Urea", "percent": 1, "grams": 2},
      {"percent": 1},
      {"ingredient": "Niacinamide", "percent": 1, "declared_pH": [7, 5]},
      7,
      {"ingredient": "Citric acid", "to_100": true}
    ]})");
  CHECK(tells(problems, "f.csv at batch_g", 0, 0, "above 0"));
  CHECK(tells(problems, "f.csv at use", 0, 0, "leave-on or rinse-off"));
  CHECK(tells(problems, "f.csv at items[0].ingredient", 0, 0, "did you mean"));
  CHECK(tells(problems, "f.csv at items[1].percent", 0, 0, "\"3\"; expected a number"));
  CHECK(tells(problems, "f.csv at items[2].percent", 0, 0, "-3 is negative"));
  CHECK(tells(problems, "f.csv at items[3]", 0, 0, "no amount"));
  CHECK(tells(problems, "f.csv at items[4].percent", 0, 0, "more than one amount"));
  CHECK(tells(problems, "f.csv at items[5].ingredient", 0, 0, "no name"));
  CHECK(tells(problems, "f.csv at items[6].declared_pH", 0, 0, "the lower first"));
  CHECK(tells(problems, "f.csv at items[7]", 0, 0, "an object"));
  CHECK(tells(problems, "f.csv at items[8].to_100", 0, 0, "a second q.s."));
}

TEST_CASE("percent and grams do not mix") {
  const auto problems = problems_of(
      R"({"items": [{"ingredient": "Water", "percent": 97}, {"ingredient": "Glycerin", "grams": 3}]})");
  CHECK(tells(problems, "f.csv at items[1].grams", 0, 0, "the same unit in all lines"));
}

TEST_CASE("text that is no JSON is told with line and column") {
  CHECK(tells(problems_of("{\"items\": [\n  {,}\n]}"), "f.csv", 2, 4, "no valid JSON"));
  CHECK(tells(problems_of("{\"batch_g\": 1e999, \"items\": []}"), "f.csv", 0, 0, "out of reach"));
  CHECK(tells(problems_of("{}"), "f.csv at items", 0, 0, "no items"));
  CHECK(tells(problems_of("{\"items\": 3}"), "f.csv at items", 0, 0, "a list of items"));
}

TEST_CASE("members that nobody knows are said") {
  CHECK(says(read(R"({"colour": "red", "items": [{"ingredient": "Water", "percent": 100}]})"),
             "'colour'"));
}
