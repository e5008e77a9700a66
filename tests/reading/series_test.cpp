// SPDX-License-Identifier: MIT
// A product read as it ages: what follows the forecast is as expected, what falls beside it is not.
#include "../answers/samples.hpp"

#include <counterion/batch/storage.hpp>
#include <counterion/reading/log_readings.hpp>
#include <counterion/reading/series.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;
using doctest::Approx;

namespace {

const Tables& built_in = Tables::built_in();

/// A cream with 10 % urea and a lactate buffer.
Formula urea_cream() {
  return samples::formula_of(
      {{"urea", 10}, {"glycerin", 5}, {"lactic-acid-80", 2}, {"sodium-lactate-60", 4}});
}

Formula lactone_lotion() {
  return samples::formula_of({{"caprylic-capric-triglyceride", 15},
                              {"glycerin", 3},
                              {"gluconolactone-sodium-benzoate-75-25", 1.5}});
}

BatchReading read(double ph, std::optional<double> days) {
  BatchReading reading(ph);
  reading.age_days = days;
  return reading;
}

/// Readings of a batch that lies `off` beside the middle of the tables and goes as the middle does.
std::vector<BatchReading> as_foretold(const Formula& formula, const std::vector<double>& days,
                                      double off) {
  const auto phase = BatchKnowledge().phase_of(formula, built_in).value();
  std::vector<BatchReading> readings;
  for (const auto& point : drift_of(formula, phase, built_in, {{}, days}).points)
    readings.push_back(read(point.ph + off, point.days));
  return readings;
}

}  // namespace

TEST_CASE("a urea cream that goes where the forecast has it go is as expected") {
  for (const double off : {-0.2, 0.0, 0.2}) {
    const auto readings = as_foretold(urea_cream(), {0, 7, 30, 120, 365}, off);
    const auto judged = judge_series(urea_cream(), readings, built_in);
    REQUIRE(judged.size() == 4);
    for (const auto& one : judged) {
      CAPTURE(one.days);
      CHECK(one.as_expected);
      CHECK(std::abs(one.surprise) < 1.6);
      CHECK(one.low < one.expected);
      CHECK(one.expected < one.high);
    }
    CHECK(judged.back().expected > judged.front().expected);
  }
}

TEST_CASE("one that falls by one pH is not") {
  auto readings = as_foretold(urea_cream(), {0, 7, 90}, 0);
  readings.back().ph -= 1;
  const auto judged = judge_series(urea_cream(), readings, built_in);
  REQUIRE(judged.size() == 2);
  CHECK(judged[0].as_expected);
  CHECK_FALSE(judged[1].as_expected);
  CHECK(judged[1].surprise < -most_surprise_in_series);
}

TEST_CASE("a lotion with a lactone may fall in its first days") {
  const auto readings = as_foretold(lactone_lotion(), {first_reading_days, 1, 14}, 0);
  for (const auto& one : judge_series(lactone_lotion(), readings, built_in)) {
    CAPTURE(one.days);
    CHECK(one.as_expected);
  }
}

TEST_CASE("the first reading without an age was taken at mixing where a later one has an age") {
  const std::vector<BatchReading> readings{5.0, read(4.4, 7), 4.3};
  const auto aged = with_ages(readings);
  CHECK(aged[0].age_days == first_reading_days);
  CHECK(aged[1].age_days == 7);
  CHECK_FALSE(aged[2].age_days);
  CHECK_FALSE(with_ages({5.0, 4.4})[0].age_days);
  CHECK(judge_series(lactone_lotion(), readings, built_in).size() == 1);
}

TEST_CASE("old readings do not say what the batch was made as, unless there is no other") {
  const std::vector<BatchReading> readings{read(5, 0), read(5.1, 7), read(5.4, 90)};
  CHECK(of_the_batch_as_made(readings).size() == 2);
  CHECK(of_the_batch_as_made(std::vector{read(5.4, 90)}).size() == 1);
  auto adjusted = readings;
  adjusted[2].added.push_back({{"citric-acid", 20}, 1});
  CHECK(of_the_batch_as_made(adjusted).size() == 3);
}

TEST_CASE("what is judged are readings after the last addition") {
  auto readings = as_foretold(urea_cream(), {0, 1, 7}, 0);
  CHECK(judge_series(urea_cream(), readings, built_in).size() == 2);
  readings[1].added.push_back({{"citric-acid", 20}, 0.01});
  CHECK(judge_series(urea_cream(), readings, built_in).size() == 1);
  CHECK(judge_series(urea_cream(), {}, built_in).empty());
}

TEST_CASE("a stay in the warm by Arrhenius' law") {
  // A reaction of our own without an activation energy: the tables' 70 to 110 kJ/mol. Between 25
  // and 40 °C exp(E/R (1/T - 1/T')) by hand: 3.87 and 8.38, in the middle 5.69.
  const std::vector<Tables::NamedText> own{
      {"ingredients", "own/ingredients.csv", "id,inci\ntest-urea,Test Urea\n"},
      {"composition", "own/composition.csv",
       "ingredient,component,mass_fraction\ntest-urea,urea,1\n"},
      {"levels", "own/levels.csv",
       "subject,kind,value,upper_value,unit\ntest-urea,residual-charge,0,0,meq_per_g\n"},
      {"changes", "own/changes.csv",
       "id,reactant,product,acid_base_effect,quantity,value,unit,minimum_pH,maximum_pH,temperature_"
       "celsius,activation_energy_kJ_per_mol,watch_for\n"
       "T02,test-urea,2 ammonia + carbonic-acid,base-appears,rate-constant,1e-9,1/s,,,25,,It "
       "rises.\n"}};
  const auto tables = built_in.with_texts(own);
  const auto formula =
      samples::formula_of({{"test-urea", 10}, {"citric-acid", 1}, {"sodium-hydroxide", 0.2}});
  const auto phase = BatchKnowledge().phase_of(formula, tables).value();
  const auto warm = on_the_shelf(formula, phase, tables, {84, 40});
  REQUIRE(warm.size() == 1);
  CHECK(warm[0].low == Approx(84 * 3.87).epsilon(0.01));
  CHECK(warm[0].days == Approx(84 * 5.69).epsilon(0.01));
  CHECK(warm[0].high == Approx(84 * 8.38).epsilon(0.01));
  const auto same = on_the_shelf(formula, phase, tables, {84, 25});
  CHECK(same[0].low == Approx(84));
  CHECK(same[0].high == Approx(84));
  CHECK_THROWS_AS(on_the_shelf(formula, phase, tables, {-1, 90}), BadInput);
}

TEST_CASE("a log's strip, slurry, temperature and age reach its readings") {
  const auto log = read_reading_log(
      "time,added,g,pH,temperature,method,dilution\n"
      "day 0,,,5.2,22,,\n"
      "day 7,,,5.0,21,strip 0.5,10 g in 90 g\n",
      "log.csv", built_in);
  const auto readings = readings_of(log, built_in);
  REQUIRE(readings.size() == 2);
  CHECK(readings[0].age_days == 0);
  CHECK(readings[0].celsius == 22);
  CHECK_FALSE(readings[0].half_ph);
  CHECK(readings[1].age_days == 7);
  CHECK(readings[1].dilution.water_g == Approx(9 * readings[1].dilution.product_g));
  CHECK(readings[1].dilution.carbon_dioxide_mol_per_kg > 0);
  // half a step beside the eye's own: levels of `measurement`, kinds strip-step and strip
  CHECK(*readings[1].half_ph > 0.25);
  CHECK(*readings[1].half_ph < 0.6);
  CHECK_FALSE(ends_unread(log));
}
