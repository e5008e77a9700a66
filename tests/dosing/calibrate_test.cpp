// SPDX-License-Identifier: MIT
// What readings teach of a batch. The priors are rows of the tables, written down before any case
// was run.
#include "../answers/measured.hpp"
#include "../answers/samples.hpp"

#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/moved_phase.hpp>
#include <counterion/chemistry/quasi_random.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

double width(const Prediction& p) {
  return p.p95 - p.p05;
}

test::Row field_case(const std::string& name) {
  for (const auto& row : test::rows_of_file("answers/data/field_cases.csv"))
    if (row.text("case") == name) return row;
  throw std::out_of_range("no case " + name);
}

}  // namespace

// A practitioner's body wash, read with a meter before and after two equal parts of citric acid
// (common practice: rows B01 to B03 of field_cases.csv). 0.2 g for 102 g as it was written down.
TEST_CASE("two readings of a wash foretell the third") {
  Formula wash = measured::formula_of(field_case("B01"));
  wash.batch_g = 102;
  const Adjuster citric{"citric-acid", 100};
  const std::vector<BatchReading> readings{{8.6, {}, {}}, {7.74, {{citric, 0.2}}, {}}};
  Conditions room;
  room.temperature = celsius(22);
  const auto before = predict(*water_phase_of(wash, built_in, room), 0);
  const auto learned = calibrate(wash, readings, built_in, room);
  const std::vector<Portion> all{{citric, 0.4}};
  const auto third =
      predict(*learned.knowledge.phase_of(with_portions(wash, all, built_in), built_in, room), 0);
  MESSAGE("before any reading ", before.p05, " to ", before.p95, ", after two ", third.p05, " to ",
          third.p95, ", middle ", third.ph, ", read 6.51");
  CHECK(third.p05 < 6.51);
  CHECK(6.51 < third.p95);
  CHECK(width(third) < 1.6);
}

TEST_CASE("a reading where it was expected leaves the middle and narrows the interval") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const auto formula = samples::sample(name);
    const auto before = predict(*water_phase_of(formula, built_in), 0);
    const std::vector<BatchReading> readings{{before.ph, {}, {}}};
    const auto learned = calibrate(formula, readings, built_in, {}, {0.05, 0.01});
    const auto after = predict(*learned.phase, 0);
    CHECK(std::abs(after.ph - before.ph) < 0.003);
    CHECK(width(after) < width(before));
    CHECK_FALSE(learned.beyond_tables);
    CHECK(std::abs(learned.unexplained_meq_per_kg.value) < 0.01);
    CHECK(learned.unexplained_meq_per_kg.low < 0);
    CHECK(learned.unexplained_meq_per_kg.high > 0);
  }
}

TEST_CASE("a batch learned from has the pH that was read") {
  for (const auto& name : samples::names)
    for (const double off : {-0.15, 0.15}) {
      CAPTURE(name);
      CAPTURE(off);
      const auto formula = samples::sample(name);
      const double ph = predict(*water_phase_of(formula, built_in), 0).ph + off;
      const std::vector<BatchReading> readings{{ph, {}, {}}};
      const auto learned = calibrate(formula, readings, built_in, {}, {0.02, 0.01});
      CHECK(std::abs(predict(*learned.phase, 0).ph - ph) < 0.03);
      CHECK(learned.unexplained_meq_per_kg.value * off >
            0);  // more alkaline than expected is alkali
    }
}

// The other way to the same: draws from the priors, each weighted by how well it explains the
// readings.
TEST_CASE("what is learned is what weighted draws say") {
  const auto formula =
      samples::formula_of({{"lactic-acid-80", 2}, {"sodium-lactate-60", 3}, {"niacinamide", 4}});
  const auto own = *water_phase_of(formula, built_in);
  for (const double meter : {0.02, 0.1, 0.2}) {
    CAPTURE(meter);
    const double ph = predict(own, 0).ph + 0.1,
                 noise = std::max(0.03, 0.3 * meter) / deviates_to_end;
    const std::vector<BatchReading> readings{{ph, {}, {}}};
    const auto learned = calibrate(formula, readings, built_in, {}, {meter, 0.01});
    const auto after = predict(*learned.phase, 0);

    double weights = 0, sum = 0, squares = 0;
    constexpr std::size_t count = 1 << 14;
    const QuasiRandom random(own.drivers.size() + 2, count);
    std::vector<std::vector<double>> columns(own.drivers.size() + 2, std::vector<double>(count));
    for (std::size_t d = 0; d < columns.size(); ++d) random.fill_normal(d, columns[d]);
    MovedPhase moved(own);
    std::vector<double> deviates(own.drivers.size());
    for (std::size_t i = 0; i < count; ++i) {
      for (std::size_t d = 0; d < deviates.size(); ++d) deviates[d] = columns[d][i];
      const double model =
          columns[own.drivers.size()][i] / deviates_to_end * predict(own, 0).model_above;
      const double truth = moved.ph_at(deviates) + model;
      const double read = truth + columns[own.drivers.size() + 1][i] / deviates_to_end * meter;
      const double weight = std::exp(-0.5 * std::pow((read - ph) / noise, 2));
      weights += weight, sum += weight * truth, squares += weight * truth * truth;
    }
    const double mean = sum / weights,
                 half = deviates_to_end * std::sqrt(squares / weights - mean * mean);
    CHECK(std::abs(after.ph - mean) < 0.005);
    CHECK(std::abs(0.5 * width(after) - half) < 0.15 * half);
  }
}

TEST_CASE("a second reading teaches how firmly a batch holds its pH") {
  const auto formula = samples::sample("hand-gel");
  const double start = predict(*water_phase_of(formula, built_in), 0).ph;
  const Adjuster lye{"sodium-hydroxide", 10};
  std::vector<BatchReading> readings{{start, {}, {}}};
  const auto once = calibrate(formula, readings, built_in);
  readings.push_back({start + 0.25, {{lye, 2}}, {}});  // moves far less than was expected
  const auto twice = calibrate(formula, readings, built_in);
  CHECK(twice.extra_buffer_mmol_per_kg.value > once.extra_buffer_mmol_per_kg.value + 1);
  CHECK(twice.readings[1].ph < twice.readings[1].expected);
}

TEST_CASE("a preservative that was left out is not learned but asked for") {
  const auto formula =
      samples::formula_of({{"sodium-benzoate", 1}, {"citric-acid", 0.3}, {"glycerin", 3}});
  auto without = formula;
  without.items[0].percent = 0;
  const std::vector<BatchReading> readings{
      {predict(*water_phase_of(without, built_in), 0).ph, {}, {}}};
  const auto learned = calibrate(formula, readings, built_in);
  CHECK(learned.beyond_tables);
  REQUIRE_FALSE(learned.slips.empty());
  CHECK(learned.slips.front().item == 0);
  CHECK_FALSE(learned.slips.front().doubled);
}

TEST_CASE("readings that mean nothing are refused, all at once") {
  const std::vector<BatchReading> readings{{17, {}, {"log.csv", 2, 3}},
                                           {5, {{{"citric-acid", 20}, -1}}, {"log.csv", 3, 2}}};
  try {
    calibrate(samples::sample("hand-gel"), readings, built_in);
    FAIL("not refused");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 2);
    CHECK(std::string(bad.what()).find("log.csv, line 2") != std::string::npos);
  }
}

TEST_CASE("additions that leave hardly any water are refused, not learned from") {
  const std::vector<BatchReading> readings{{6.3, {}, {}}, {5, {{{"citric-acid", 100}, 1e5}}, {}}};
  CHECK_THROWS_AS(calibrate(samples::sample("hand-gel"), readings, built_in), BadInput);
}
