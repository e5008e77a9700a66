// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"
#include "small_tables.hpp"

#include <doctest/doctest.h>

#include <fstream>

using namespace counterion;
using test::problems_of;
using test::tells;

namespace {

std::vector<Problem> problems_of_file(const std::filesystem::path& path) {
  try {
    read_formula_file(path, Tables::built_in());
  } catch (const BadInput& error) {
    return error.problems();
  }
  return {};
}

const std::string head = "Ingredient,Percent\n";

}  // namespace

TEST_CASE("all faults of a sheet are told at once, in the order of its lines") {
  const auto path = test::formula_path("all-errors.csv");
  const auto problems = problems_of_file(path);
  const auto file = path.string();
  CHECK(tells(problems, file, 2, 0, "'five hundred' as batch"));
  CHECK(tells(problems, file, 5, 2, "no ingredient is called 'Glycerinn'"));
  CHECK(tells(problems, file, 5, 2, "did you mean 'Glycerin'"));
  CHECK(tells(problems, file, 6, 3, "'a pinch' is no number"));
  CHECK(tells(problems, file, 7, 3, "'-4' is negative"));
  CHECK(tells(problems, file, 8, 3, "140 % is more than the whole"));
  CHECK(tells(problems, file, 9, 4, "'strong' as strength"));
  CHECK(tells(problems, file, 10, 3, "a second q.s., after the one in line 4"));
  CHECK(tells(problems, file, 11, 2, "'Lactic acid 70 %'"));
  CHECK(tells(problems, file, 11, 2, "did you mean 'Lactic acid 80 %', 'Lactic acid 88 %' or 'Lactic acid 90 %'?"));
  CHECK(tells(problems, file, 12, 3, "'5 ml' is neither percent nor grams"));
  CHECK(tells(problems, file, 12, 5, "'acid' as declared pH"));
  CHECK(tells(problems, file, 13, 3, "an amount without a name"));
  CHECK(tells(problems, file, 14, 3, "no amount for 'Potassium sorbate'"));
  CHECK(problems.size() == 12);
}

TEST_CASE("an unknown ingredient says what would help") {
  const auto problems = problems_of(head + "Water,97\nGlicerin,3\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place == Place{"f.csv", 3, 1});
  CHECK(problems[0].expected ==
        "a name from the tables, --allow-unlisted, or a declared pH on the line");
  CHECK(problems[0].suggestions.front() == "Glycerin");
}

TEST_CASE("a missing column is told with what was seen instead") {
  auto problems = problems_of("\n\nIngredient,Price\nWater,1\n");
  CHECK(tells(problems, "f.csv", 3, 0,
              "columns 'Ingredient', 'Price'; expected a column of amounts"));
  problems = problems_of("What;Percent\nWater;100\n");
  CHECK(tells(problems, "f.csv", 1, 0,
              "columns 'What', 'Percent'; expected a column of ingredients"));
  problems = problems_of("some\nprose\n");
  CHECK(tells(problems, "f.csv", 1, 0, "a column of ingredients"));
  CHECK(tells(problems, "f.csv", 1, 0, "and a column of amounts"));
}

TEST_CASE("nothing to read is told") {
  CHECK(tells(problems_of(""), "f.csv", 0, 0, "no ingredient lines"));
  CHECK(tells(problems_of("\n\n"), "f.csv", 0, 0, "no ingredient lines"));
  CHECK(tells(problems_of(head), "f.csv", 0, 0, "no ingredient lines"));
  CHECK(tells(problems_of("# name: x\n"), "f.csv", 0, 0, "no ingredient lines"));
}

TEST_CASE("two q.s. lines are told, each with its line") {
  const auto problems = problems_of(head + "Water,q.s. to 100\nCitric acid,q.s.\nGlycerin,3\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place == Place{"f.csv", 3, 2});
  CHECK(problems[0].found == "a second q.s., after the one in line 2");
}

TEST_CASE("an adjuster with an amount that depends on pH is to be left out") {
  const auto problems = problems_of(head + "Water,to 100\nCitric acid,q.s. to pH 5.5\n");
  CHECK(tells(problems, "f.csv", 3, 2, "leave the adjuster out"));
}

TEST_CASE("a q.s. line needs something left") {
  CHECK(tells(problems_of(head + "Water,q.s.\nGlycerin,60\nUrea,50\n"), "f.csv", 2, 2,
              "the other lines add up to 110 %"));
}

TEST_CASE("q.s. among grams needs a batch") {
  CHECK(tells(problems_of("Ingredient,g\nWater,q.s.\nGlycerin,3\n"), "f.csv", 2, 2,
              "q.s. among grams without a batch size"));
  CHECK(tells(problems_of("# batch: 400 g\nIngredient,g\nWater,ad 500 g\nGlycerin,3\n"), "f.csv", 3,
              2, "the batch as stated, 400 g"));
}

TEST_CASE("a decimal comma that was cut at the comma is not taken for a smaller number") {
  const auto problems = problems_of(head + "Water,97,5\nGlycerin,2,5\n");
  CHECK(tells(problems, "f.csv", 2, 3, "3 cells below a header of 2"));
  CHECK(problems.size() == 2);
}

TEST_CASE("a number that can be read in two ways is told") {
  CHECK(tells(problems_of("Ingredient;Percent\nWater;96.5\nGlycerin;3,500\n"), "f.csv", 3, 2,
              "two ways"));
}

TEST_CASE("units that do not belong to the column are told") {
  CHECK(tells(problems_of(head + "Water,97\nGlycerin,3 g\n"), "f.csv", 3, 2,
              "grams in a column of percent"));
  CHECK(tells(problems_of("Ingredient,g\nWater,97\nGlycerin,3 %\n"), "f.csv", 3, 2,
              "percent in a column of grams"));
  CHECK(
      tells(problems_of("Ingredient,Amount\nWater,97 %\nGlycerin,3 g\n"), "f.csv", 3, 2, "grams"));
}

TEST_CASE("not-a-number, infinity and numbers out of reach are told") {
  for (const auto* amount : {"nan", "inf", "0x10", "1e999", "3-4"}) {
    CAPTURE(amount);
    const auto problems = problems_of(head + "Water,97\nGlycerin," + amount + "\n");
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].place == Place{"f.csv", 3, 2});
  }
}

TEST_CASE("words of head lines are checked against those that are known") {
  const auto problems =
      problems_of("# use: swallow\n# type: elbow\n# batch: -5 g\n" + head + "Water,100\n");
  CHECK(tells(problems, "f.csv", 1, 0, "'swallow' as use; expected leave-on or rinse-off"));
  CHECK(tells(problems, "f.csv", 2, 0,
              "'elbow' as type; expected armpit, baby, body, eye, face, foot, hair, hand, intimate, lip, nail, oral, scalp or spray"));
  CHECK(tells(problems, "f.csv", 3, 0, "'-5 g' as batch"));
}

TEST_CASE("a quote that is never closed is told with its line") {
  CHECK(tells(problems_of(head + "Water,97\n\"Glycerin,3\n"), "f.csv", 3, 1, "never closed"));
}

TEST_CASE("declared pH off the scale or upside down is told") {
  const std::string line = "Ingredient,Percent,pH\nWater,97,\nGlycerin,3,";
  for (const auto* ph : {"15", "12.5-11.5", "-1", "acidic", "5-6-7", "5 @ 0 %", "5 @ 120 %"}) {
    CAPTURE(ph);
    CHECK(tells(problems_of(line + ph + "\n"), "f.csv", 3, 3, "as declared pH"));
  }
}

TEST_CASE("files that are none are told") {
  const auto folder = test::formula_path("");
  CHECK(tells(problems_of_file(folder), folder.string(), 0, 0, "a folder"));
  const auto missing = test::formula_path("not-there.csv");
  CHECK(tells(problems_of_file(missing), missing.string(), 0, 0, "there is no such file"));
}

TEST_CASE("too much, and what is no text, is told") {
  CHECK(tells(problems_of(std::string(11 * 1024 * 1024, 'a')), "f.csv", 0, 0, "more than 10 MB"));
  CHECK(tells(problems_of(std::string("Ingredient\0,Percent\n", 20)), "f.csv", 1, 0, "no text"));
  CHECK(tells(problems_of("PK\x03\x04xyz"), "f.csv", 1, 0, "save the sheet as CSV"));
  std::string many = head;
  for (int i = 0; i < 1001; ++i) many += "Water,0.01\n";
  CHECK(tells(problems_of(many), "f.csv", 0, 0, "1001 lines"));
}

TEST_CASE("names that are prose, and faults without end, are cut short") {
  CHECK(tells(problems_of(head + std::string(300, 'a') + ",5\n"), "f.csv", 2, 1,
              "a name of 300 bytes"));
  std::string many = head;
  for (int i = 0; i < 500; ++i) many += "Water,x\n";
  const auto problems = problems_of(many);
  CHECK(problems.size() == 201);
  CHECK(problems.back().found == "300 further faults");
}
