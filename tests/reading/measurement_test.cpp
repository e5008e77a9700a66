// SPDX-License-Identifier: MIT
// What an electrode, its buffers, the temperature and the water do to a reading: each is done to a
// batch here and must be found and taken out again.
#include "../answers/samples.hpp"
#include "../table_rows.hpp"

#include <counterion/reading/measurement.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

const ReadingEffect* effect_with(const MeasurementQuality& quality, const std::string& words) {
  for (const auto& effect : quality.effects)
    if (effect.what.find(words) != std::string::npos) return &effect;
  return nullptr;
}

Formula lactate() {
  return samples::formula_of({{"lactic-acid-80", 2}, {"sodium-lactate-60", 3}});
}

/// What a meter with an ideal scale shows in a buffer, its electrode being what it is.
double shown_by(double slope_percent, double offset_ph, double ph) {
  return 7 - ((7 - ph) * slope_percent / 100 + offset_ph);
}

}  // namespace

TEST_CASE("the ideal slope is what is published") {
  for (const auto& row : test::rows_of_file("reading/data/nernst_slopes.csv")) {
    CAPTURE(row.text("source"));
    CHECK(std::abs(nernst_slope_mV(row.number("celsius")) - row.number("mV_per_pH")) <=
          row.number("tolerance_mV"));
  }
}

TEST_CASE("slope and offset of an electrode come back from its buffers") {
  const double slope = 93.5, offset_mV = -12;
  std::vector<BufferReading> buffers;
  for (const double ph : {4.01, 7.00, 10.01})
    buffers.push_back({ph, 0, (7 - ph) * nernst_slope_mV(20) * slope / 100 + offset_mV, 20});
  const auto electrode = electrode_of(buffers);
  CHECK(electrode.slope_percent == doctest::Approx(slope));
  CHECK(electrode.offset_mV == doctest::Approx(offset_mV));
  CHECK(electrode.slope_fine);
  CHECK(electrode.offset_fine);
}

// How to calculate offset and slope (studylib.net 25392327, seen 2026-11-30): electrode 1 reads
// - 15 mV in 7.01 and + 160 mV in 4.01 and works, 2 reads + 15 mV and + 160 mV (145 mV apart) and
// has an unacceptable slope.
TEST_CASE("a published example of a good and a bad electrode is judged alike") {
  const auto of = [](double at_7, double at_4) {
    const std::vector<BufferReading> buffers{{7.01, 0, at_7, 25}, {4.01, 0, at_4, 25}};
    return electrode_of(buffers);
  };
  const auto good = of(-15, 160), bad = of(15, 160);
  CHECK(good.slope_percent == doctest::Approx(100 * 175 / (3 * 59.16)).epsilon(1e-4));
  CHECK(good.slope_fine);
  CHECK_FALSE(bad.slope_fine);
  CHECK(good.offset_fine);
  CHECK(bad.offset_fine);
}

// United States Pharmacopeia 39, 791 (pharmapathway.com, seen 2026-11-30): "slope to 90.0% - 105.0%
// and offset to 0.0 ± 30 mv".
TEST_CASE("an electrode is fine from 90 to 105 % and within 30 mV") {
  const auto judged = [](double slope, double offset_mV) {
    std::vector<BufferReading> buffers;
    for (const double ph : {4.0, 7.0})
      buffers.push_back({ph, 0, (7 - ph) * nernst_slope_mV(25) * slope / 100 + offset_mV, 25});
    return electrode_of(buffers);
  };
  CHECK_FALSE(judged(89.9, 0).slope_fine);
  CHECK(judged(90.1, 0).slope_fine);
  CHECK(judged(104.9, 0).slope_fine);
  CHECK_FALSE(judged(105.1, 0).slope_fine);
  CHECK(judged(98, 29.9).offset_fine);
  CHECK_FALSE(judged(98, -30.1).offset_fine);
}

TEST_CASE("an electrode needs two different buffers, and numbers that are some") {
  const std::vector<BufferReading> same{{7, 7, {}, 25}, {7.01, 7.02, {}, 25}};
  CHECK_THROWS_AS(electrode_of(same), BadInput);
  CHECK_THROWS_AS(electrode_of({}), BadInput);
  const std::vector<BufferReading> bad{{17, 7, {}, 25}, {4, 4, 5000, 25}, {7, 7, {}, -300}};
  try {
    electrode_of(bad);
    FAIL("not refused");
  } catch (const BadInput& wrong) {
    CHECK(wrong.problems().size() == 3);
  }
}

TEST_CASE("numbers that mean nothing are refused, all at once") {
  const auto phase = *water_phase_of(lactate(), built_in);
  Measuring measuring;
  measuring.step_ph = -1;
  measuring.sample_celsius = 120;
  measuring.calibrated_celsius = -40;
  measuring.buffer_age_days = std::numeric_limits<double>::quiet_NaN();
  measuring.buffers = {{15, 7, {}, 25}};
  measuring.dilution = {0, -1, 2};
  try {
    quality_of(phase, 15, measuring, built_in);
    FAIL("not refused");
  } catch (const BadInput& wrong) {
    CHECK(wrong.problems().size() == 9);
  }
}

TEST_CASE("a worn electrode's reading is put right by its buffers") {
  const auto phase = *water_phase_of(lactate(), built_in);
  const double truth = ph_of(phase);
  Measuring measuring;
  measuring.sample_celsius = 25;
  for (const double ph : {4.01, 7.00})
    measuring.buffers.push_back({ph, shown_by(92, 0.2, ph), {}, 25});
  const auto quality = quality_of(phase, shown_by(92, 0.2, truth), measuring, built_in);
  CHECK(quality.corrected_ph == doctest::Approx(truth).epsilon(1e-9));
  REQUIRE(quality.electrode);
  CHECK(quality.electrode->slope_percent == doctest::Approx(92));
  CHECK(quality.electrode->offset_mV == doctest::Approx(0.2 * 59.16).epsilon(1e-3));
  CHECK(effect_with(quality, "scale"));
}

// A bench rule: about 0.003 pH for each degree and each unit from pH 7 (common practice).
TEST_CASE("a meter that is not told the temperature is wrong by 0.003 a degree and unit") {
  CHECK(shown_without_compensation(4, 15, 25) - 4 == doctest::Approx(0.003 * 10 * 3).epsilon(0.15));
  CHECK(shown_without_compensation(7, 5, 25) == doctest::Approx(7));
  const auto phase = *water_phase_of(lactate(), built_in);
  Conditions cold;
  cold.temperature = celsius(10);
  const double at_10 = ph_of(*water_phase_of(lactate(), built_in, cold));
  Measuring measuring;
  measuring.sample_celsius = 10;
  measuring.compensates_temperature = false;
  const auto quality =
      quality_of(phase, shown_without_compensation(at_10, 10, 25), measuring, built_in);
  const auto* effect = effect_with(quality, "of its calibration");
  REQUIRE(effect);
  CHECK(effect->shift_ph ==
        doctest::Approx(shown_without_compensation(at_10, 10, 25) - at_10).epsilon(1e-6));
  CHECK(std::abs(quality.corrected_ph - ph_of(phase)) < 1e-8);
}

TEST_CASE("a batch's own move with temperature is that of its formula") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const auto formula = samples::sample(name);
    const auto phase = *water_phase_of(formula, built_in);
    Conditions warm;
    warm.temperature = celsius(45);
    const double read = ph_of(*water_phase_of(formula, built_in, warm));
    Measuring measuring;
    measuring.sample_celsius = 45;
    const auto quality = quality_of(phase, read, measuring, built_in);
    CHECK(std::abs(quality.corrected_ph - ph_of(phase)) < 1e-8);
  }
}

TEST_CASE("a slurry's reading is put back to the product") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const auto phase = *water_phase_of(samples::sample(name), built_in);
    Measuring measuring;
    measuring.sample_celsius = 25;
    measuring.dilution = {10, 90, carbon_dioxide_of_air(built_in)};
    const double read = ph_of(diluted(phase, measuring.dilution, built_in));
    const auto quality = quality_of(phase, read, measuring, built_in);
    CHECK(std::abs(quality.corrected_ph - ph_of(phase)) < 1e-8);
    CHECK(effect_with(quality, "read in water"));
  }
}

TEST_CASE("everything at once is taken out again") {
  for (const auto& name : samples::names)
    for (const double hidden : {-0.002, 0.002}) {
      CAPTURE(name);
      CAPTURE(hidden);
      const auto formula = samples::sample(name);
      const auto phase = *water_phase_of(formula, built_in);
      const auto truth_at = [&](double t) {
        Conditions conditions;
        conditions.temperature = celsius(t);
        auto truth = *water_phase_of(formula, built_in, conditions);
        truth.mixture.add_strong_charge(hidden);  // what nobody weighed
        return truth;
      };
      Measuring measuring;
      measuring.sample_celsius = 15;
      measuring.calibrated_celsius = 22;
      measuring.compensates_temperature = false;
      measuring.dilution = {10, 90, 1.5e-5};
      for (const double ph : {4.0, 7.0, 10.0})
        measuring.buffers.push_back({ph, shown_by(95, -0.1, ph), {}, 22});
      const double slurry = ph_of(diluted(truth_at(15), measuring.dilution, built_in));
      const double shown = shown_by(95, -0.1, shown_without_compensation(slurry, 15, 22));
      const auto quality = quality_of(phase, shown, measuring, built_in);
      CHECK(std::abs(quality.corrected_ph - ph_of(truth_at(25))) < 1e-6);
      CHECK(quality.half_ph >= 0.05);
    }
}

TEST_CASE("a strip is surer than a guess and coarser than a meter") {
  const auto phase = *water_phase_of(lactate(), built_in);
  const auto half = [&](Method method, std::optional<double> step = {}) {
    Measuring measuring;
    measuring.method = method;
    measuring.step_ph = step;
    measuring.sample_celsius = 25;
    return quality_of(phase, 4, measuring, built_in).half_ph;
  };
  CHECK(half(Method::strip) > 0.25);
  CHECK(half(Method::strip, 1.0) > 0.5);
  CHECK(half(Method::meter_two_points) < half(Method::meter));
  CHECK(half(Method::meter) < half(Method::meter_one_point));
  CHECK(half(Method::meter_one_point) < half(Method::meter_not_calibrated));
  CHECK(half(Method::meter_not_calibrated) > 0.5);
}

TEST_CASE("alkaline buffers grow old, acid ones do not") {
  const auto alkaline = *water_phase_of(
      samples::formula_of({{"sodium-bicarbonate", 1}, {"sodium-carbonate", 1}}), built_in);
  Measuring measuring;
  measuring.method = Method::meter_two_points;
  measuring.sample_celsius = 25;
  const auto about = [&](double days, double ph, std::vector<double> buffers) {
    measuring.buffer_age_days = days;
    measuring.buffers.clear();
    for (const double nominal : buffers) measuring.buffers.push_back({nominal, nominal, {}, 25});
    return effect_with(quality_of(alkaline, ph, measuring, built_in), "opened") != nullptr;
  };
  CHECK(about(90, 9.9, {7, 10.01}));
  CHECK_FALSE(about(5, 9.9, {7, 10.01}));
  CHECK_FALSE(about(90, 9.9, {4, 7}));
  CHECK_FALSE(about(90, 5, {7, 10.01}));
}

TEST_CASE("hardly any ions, solvent and oil make a reading less sure") {
  Measuring measuring;
  measuring.sample_celsius = 25;
  const auto thin = *water_phase_of(samples::formula_of({{"glycerin", 3}}), built_in);
  CHECK(effect_with(quality_of(thin, 6.5, measuring, built_in), "hardly any ions"));
  CHECK_FALSE(effect_with(quality_of(*water_phase_of(lactate(), built_in), 4, measuring, built_in),
                          "hardly any ions"));
  const auto spirit =
      *water_phase_of(samples::formula_of({{"ethanol-96", 50}, {"lactic-acid-80", 1}}), built_in);
  CHECK(effect_with(quality_of(spirit, 3.5, measuring, built_in), "alcohol"));
  const auto cream = *water_phase_of(samples::sample("heel-cream"), built_in);
  CHECK(effect_with(quality_of(cream, 5, measuring, built_in), "oil"));
}

TEST_CASE("carbon dioxide makes an unbuffered alkaline batch unsure, a buffered one not") {
  Measuring measuring;
  measuring.sample_celsius = 25;
  const auto citrate =
      *water_phase_of(samples::formula_of({{"trisodium-citrate-dihydrate", 4}}), built_in);
  const auto* moved =
      effect_with(quality_of(citrate, ph_of(citrate), measuring, built_in), "from the air");
  const auto buffered = *water_phase_of(lactate(), built_in);
  CHECK_FALSE(
      effect_with(quality_of(buffered, ph_of(buffered), measuring, built_in), "from the air"));
  if (moved == nullptr) FAIL("no effect");
}

TEST_CASE("every figure behind an effect is a row of the tables, the largest effect first") {
  Measuring measuring;
  measuring.method = Method::meter_not_calibrated;
  measuring.buffer_age_days = 400;
  measuring.dilution = {1, 9, 1.5e-5};
  const auto phase = *water_phase_of(samples::sample("hand-wash"), built_in);
  const auto quality = quality_of(phase, 8, measuring, built_in);
  double before = 100, squares = 0, shifts = 0;
  for (const auto& effect : quality.effects) {
    CHECK_FALSE(effect.what_to_do.empty());
    if (!effect.row_id.empty()) CHECK(built_in.source(effect.source));
    const double size = std::max(std::abs(effect.shift_ph), effect.half_ph);
    CHECK(size <= before);
    before = size;
    squares += effect.half_ph * effect.half_ph, shifts += effect.shift_ph;
  }
  CHECK(quality.half_ph == doctest::Approx(std::sqrt(squares)));
  CHECK(std::abs(quality.corrected_ph - (8 - shifts)) < 0.006);  // what is not worth a word
  CHECK(quality.effects.size() >= 3);
}
