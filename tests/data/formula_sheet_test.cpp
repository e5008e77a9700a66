// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::percent_of;
using test::read;
using test::says;

TEST_CASE("heads are understood in the usual words of several languages") {
  for (const auto* head :
       {"Ingredient,Percent", "INCI name,% w/w", "Raw material,wt%", "Component,Amount %", "NAME,%",
        "Zutat,Menge %", "Rohstoff,Anteil", "Inhaltsstoff,Prozent",
        "Ingr\xC3\xA9"
        "dient,Pourcentage",
        "Mati\xC3\xA8re premi\xC3\xA8re,% m/m", "Ingrediente,Porcentaje",
        "Materia prima,Percentuale", "Rohstoff,Gew.-%", "Material,Concentration %",
        "Ingredients,w/w", "Ingredient,g/100 g", "Trade name,Percent"}) {
    CAPTURE(head);
    const auto formula = read(std::string(head) + "\nWater,97\nGlycerin,3\n");
    CHECK(percent_of(formula, "glycerin") == 3);
    CHECK(formula.total_percent == 100);
  }
}

TEST_CASE("grams are shares of their own total, which becomes the batch") {
  for (const auto* head :
       {"Ingredient,Amount (g)", "Ingredient,g", "Ingredient,grams", "Zutat,Menge (g)",
        "Rohstoff,Masse (g)", "Ingrediente,Peso (g)", "Ingredient,Weight", "Zutat,Gramm"}) {
    CAPTURE(head);
    const auto formula = read(std::string(head) + "\nWater,194\nGlycerin,6\n");
    CHECK(percent_of(formula, "glycerin") == doctest::Approx(3));
    CHECK(formula.batch_g == 200);
  }
}

TEST_CASE("kilograms, in the head or in the cells") {
  CHECK(read("Ingredient,Amount (kg)\nWater,1.94\nGlycerin,0.06\n").batch_g ==
        doctest::Approx(2000));
  CHECK(read("Ingredient,Weight\nWater,1.94 kg\nGlycerin,60 g\n").batch_g == doctest::Approx(2000));
}

TEST_CASE("q.s. among grams fills up to the stated batch") {
  const auto formula = read("# batch: 0,5 kg\nIngredient;g\nWater;q.s.\nGlycerin;15\n");
  CHECK(formula.batch_g == 500);
  CHECK(percent_of(formula, "glycerin") == doctest::Approx(3));
  CHECK(percent_of(formula, "water") == doctest::Approx(97));
  const auto to_500 = read("Ingredient,g\nWater,ad 500 g\nGlycerin,15\n");
  CHECK(to_500.batch_g == 500);
  CHECK(percent_of(to_500, "glycerin") == doctest::Approx(3));
}

TEST_CASE("an amount without unit is percent or grams as its cells or its sum say") {
  auto formula = read("Ingredient,Amount\nWater,97\nGlycerin,3\n");
  CHECK(percent_of(formula, "glycerin") == 3);
  CHECK(says(formula, "taken as percent"));
  formula = read("Ingredient,Amount\nWater,485\nGlycerin,15\n");
  CHECK(percent_of(formula, "glycerin") == doctest::Approx(3));
  CHECK(says(formula, "taken as grams"));
  formula = read("Ingredient,Amount\nWater,40 %\nGlycerin,3 %\n");
  CHECK(percent_of(formula, "glycerin") == 3);
  CHECK(says(formula, "57 % less than 100 %"));
  formula = read("Zutat;Menge\nWater;q.s.\nGlycerin;3\n");
  CHECK(percent_of(formula, "water") == 97);
}

TEST_CASE("filling up is written in many ways") {
  for (const auto* fill : {"q.s.", "qs", "q.s. to 100", "q.s. ad 100", "ad 100", "to 100",
                           "to 100 %", "balance", "bal.", "rest", "\"ad 100,0\"", "Rest",
                           "q.s.p. 100", "ad 100 %", "up to 100%", "QS to 100"}) {
    CAPTURE(fill);
    const auto formula = read("Ingredient,Percent\nWater," + std::string(fill) + "\nGlycerin,3\n");
    CHECK(formula.items[0].fills_to_100);
    CHECK(formula.items[0].percent == 97);
    CHECK(formula.total_percent == 100);
  }
}

TEST_CASE("amounts carry decimal commas and units") {
  const auto formula = read("Ingredient;Percent\nWater;to 100\nGlycerin;3,5 %\nUrea;0.5\n");
  CHECK(percent_of(formula, "glycerin") == 3.5);
  CHECK(percent_of(formula, "urea") == 0.5);
}

TEST_CASE("titles, blank lines and numbers of lines before the head are passed over") {
  const auto formula =
      read("Our cream,,\nversion 4,,\n,,\n#,Ingredient,%\n1,Water,97\n2,Glycerin,3\n");
  CHECK(formula.items.size() == 2);
  CHECK(formula.items[1].place == Place{"f.csv", 6, 2});
}

TEST_CASE("columns that nobody knows are passed over") {
  const auto formula =
      read("Ingredient,Supplier,Percent,Price\nWater,tap,97,1\nGlycerin,shop,3,20\n");
  CHECK(formula.items.size() == 2);
  CHECK(formula.diagnostics.empty());
}

TEST_CASE(
    "an INCI name is taken first, and another name where it tells the grade or is all there is") {
  const auto formula = read(
      "Ingredient,INCI,Percent\nSpring water,Aqua,96\nLactic acid 90 %,Lactic Acid,1\n"
      "Glycerin,,2\nUrea,Carbamide of ours,1\n");
  CHECK(formula.items[0].ingredient == "water");
  CHECK(formula.items[0].written == "Aqua");
  CHECK(formula.items[1].ingredient == "lactic-acid-90");
  CHECK(formula.items[2].ingredient == "glycerin");
  CHECK(formula.items[3].ingredient == "urea");
}

TEST_CASE("two names on a line that mean two materials are said") {
  CHECK(says(read("Ingredient,INCI,Percent\nUrea,Glycerin,3\nWater,,97\n"), "two materials"));
}

TEST_CASE("a strength chooses the grade") {
  const auto formula =
      read("Ingredient,Percent,Strength\nWater,98,\nLactic acid,1,90 %\nPanthenol,1,40\n");
  CHECK(formula.items[1].ingredient == "lactic-acid-90");
  CHECK(formula.items[1].strength_percent == 90.0);
  CHECK(formula.items[2].ingredient == "panthenol");
  CHECK(formula.items[2].strength_percent == 40.0);
}

TEST_CASE("percent wins over grams, and grams that contradict are said") {
  const auto formula = read("Ingredient,Percent,g\nWater,92,460\nGlycerin,3,15\nUrea,5,30\n");
  CHECK(percent_of(formula, "urea") == 5);
  CHECK(says(formula, "30 g where 5 % are 25 g"));
  CHECK_FALSE(says(read("Ingredient,Percent,g\nWater,96.67,483\nGlycerin,3.33,17\n"), "where"));
}

TEST_CASE("total lines are left out and held against the sum") {
  for (const auto* total :
       {"Total", "SUM", "Summe:", "Gesamt", "Totale", "Somme", "", "Total phase A"}) {
    CAPTURE(total);
    const auto formula =
        read("Ingredient,Percent\nWater,97\nGlycerin,3\n" + std::string(total) + ",100\n");
    CHECK(formula.items.size() == 2);
    CHECK(formula.diagnostics.empty());
  }
  CHECK(says(read("Ingredient,Percent\nWater,97\nGlycerin,3\nTotal,101\n"), "stated total 101"));
}

TEST_CASE("sums of phases are held against their phase") {
  const auto formula = read(
      "Ingredient,Percent\nWater,90\nGlycerin,3\nTotal phase A,93\nUrea,7\nTotal phase "
      "B,7\nTotal,100\n");
  CHECK(formula.items.size() == 3);
  CHECK(formula.diagnostics.empty());
}

TEST_CASE("text below the total line is passed over") {
  const auto formula = read(
      "Ingredient,Percent\nWater,97\nGlycerin,3\nTotal,100\nMethod\nStir the glycerin into the "
      "water\n");
  CHECK(formula.items.size() == 2);
}

TEST_CASE("phase headings set the phase of the lines below, a phase cell that of its own and on") {
  const auto heads =
      read("Ingredient,Percent\nPhase A\nWater,97\nOil phase:\nJojoba oil,2\nB\nUrea,1\n");
  CHECK(heads.items[0].phase == "Phase A");
  CHECK(heads.items[1].phase == "Oil phase:");
  CHECK(heads.items[2].phase == "B");
  const auto cells = read("Phase,Ingredient,Percent\nA,Water,97\n,Urea,1\nB,Glycerin,2\n");
  CHECK(cells.items[1].phase == "A");
  CHECK(cells.items[2].phase == "B");
}

TEST_CASE("head lines survive being saved as rows of cells") {
  const auto formula = read(
      "\"# name: Cream, light\";;\n# batch:;500 g;\n# use: Leave On;;\n# type: HAND;;\n"
      "Ingredient;Percent;Note\nWater;97;\nGlycerin;3;\n");
  CHECK(formula.name == "Cream, light");
  CHECK(formula.batch_g == 500);
  CHECK(formula.use == "leave-on");
  CHECK(formula.product_type == "hand");
}

TEST_CASE("a head line that nobody knows is said, a remark is not") {
  CHECK(says(read("# smell: roses\nIngredient,Percent\nWater,100\n"), "smell"));
  CHECK(read("# just a remark\nIngredient,Percent\nWater,100\n").diagnostics.empty());
}

TEST_CASE("what is not stated stays open") {
  const auto formula = read("Ingredient,Percent\nWater,100\n");
  CHECK(formula.batch_g == 100);
  CHECK_FALSE(formula.batch_stated);
  CHECK(formula.use.empty());
  CHECK(formula.product_type.empty());
}

TEST_CASE("repeated ingredients, zero amounts and odd totals are said") {
  CHECK(says(read("Ingredient,Percent\nWater,90\nAqua,10\n"), "again, first in line 2"));
  CHECK(says(read("Ingredient,Percent\nWater,100\nUrea,0\n"), "amount of 0"));
  const auto formula = read("Ingredient,Percent\nWater,90\nGlycerin,3\n");
  CHECK(says(formula, "add up to 93 %, 7 % less than 100 %"));
  CHECK(formula.total_percent == 93);
  CHECK(percent_of(formula, "water") == 90);
  CHECK(read("Ingredient,Percent\nWater,96.96\nGlycerin,3\n").diagnostics.empty());
  CHECK(says(read("Ingredient,Percent\nWater,0.97\nGlycerin,0.03\n"), "fractions of one"));
  CHECK(says(read("# batch: 500 g\nIngredient,g\nWater,400\nGlycerin,10\n"), "410 g"));
}

TEST_CASE("declared pH is read from one column or two") {
  auto formula = read("Ingredient;Percent;pH\nWater;97;\nDecyl glucoside;3;11,5 bis 12,5 @ 20 %\n");
  CHECK(formula.items[1].declared_ph_low == 11.5);
  CHECK(formula.items[1].declared_ph_high == 12.5);
  CHECK(formula.items[1].declared_at_percent == 20.0);
  formula = read("Ingredient,Percent,pH low,pH high\nWater,97,,\nDecyl glucoside,3,11.5,12.5\n");
  CHECK(formula.items[1].declared_ph_low == 11.5);
  CHECK(formula.items[1].declared_ph_high == 12.5);
  CHECK_FALSE(formula.items[1].declared_at_percent);
}

TEST_CASE("a column of wanted pH is not a declared one") {
  const auto formula = read("Ingredient,Percent,Target pH\nWater,100,5.5\n");
  CHECK_FALSE(formula.items[0].declared_ph_low);
}

TEST_CASE("unlisted materials are taken when asked for, and the nearest names are said") {
  const auto formula = test::read("Ingredient,Percent\nWater,96\nGlycerinn,3\nMoon dust,1\n", true);
  CHECK_FALSE(formula.items[1].listed());
  CHECK_FALSE(formula.items[2].listed());
  CHECK(
      says(formula,
           "'Glycerinn' is in no table and is not judged; the nearest known names are 'Glycerin'"));
  CHECK(says(formula, "'Moon dust' is in no table and is not judged"));
}
