// SPDX-License-Identifier: MIT
// A product stirred into water is the formula with that water in it, whichever way it is reckoned.
#include "../answers/measured.hpp"
#include "../answers/samples.hpp"

#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/drift.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

/// The formula with the water really added, weighed as the product was.
Formula with_water(Formula formula, const Dilution& dilution) {
  const double grams = dilution.product_g + dilution.water_g, share = dilution.product_g / grams;
  for (auto& item : formula.items) item.percent *= share;
  FormulaItem water;
  water.written = water.ingredient = "water";
  water.percent = 100 * dilution.water_g / grams;
  formula.items.push_back(water);
  formula.batch_g /= share;
  return formula;
}

/// The phase of a formula with the water really added, its carbonate weighed in as carbonic acid.
WaterPhase really_diluted(const Formula& formula, const Dilution& dilution,
                          const Conditions& conditions = {}) {
  WaterPhase phase = *water_phase_of(with_water(formula, dilution), built_in, conditions);
  const double grams = dilution.product_g + dilution.water_g;
  const double carbonate =
      dilution.carbon_dioxide_mol_per_kg * dilution.water_g / (grams * phase.water_percent / 100);
  if (const auto known = phase.protolyte("carbonic-acid"))
    phase.mixture.protolytes[*known].molality += carbonate;
  else if (carbonate > 0)
    phase.mixture.protolytes.push_back(
        {carbonate, chemistry::Ladder(protolyte_in(phase.surroundings,
                                                   *built_in.substance("carbonic-acid"), built_in),
                                      in_celsius(conditions.temperature) + ice_point_kelvin)});
  return phase;
}

struct Case {
  std::string name;
  Formula formula;
};

/// The samples, buffered and unbuffered solutions, and what shares itself with oil, micelles and
/// solvents or lies in crystals.
std::vector<Case> cases() {
  std::vector<Case> all;
  for (const auto& name : samples::names) all.push_back({name, samples::sample(name)});
  const auto add = [&](const std::string& name,
                       const std::vector<std::pair<std::string, double>>& items) {
    all.push_back({name, samples::formula_of(items)});
  };
  add("lactate buffer", {{"lactic-acid-80", 2}, {"sodium-lactate-60", 3}, {"niacinamide", 4}});
  add("citrate alone", {{"trisodium-citrate-dihydrate", 4}});
  add("bicarbonate", {{"sodium-bicarbonate", 0.5}, {"glycerin", 5}});
  add("acid in alcohol", {{"salicylic-acid", 2}, {"ethanol-96", 40}, {"propylene-glycol", 10}});
  add("crystals", {{"benzoic-acid", 1.5}, {"sodium-benzoate", 1}});
  add("paraben in micelles",
      {{"methylparaben", 0.2}, {"polysorbate-20", 5}, {"lactic-acid-80", 1}});
  add("phosphate", {{"disodium-phosphate", 4}, {"potassium-dihydrogen-phosphate", 3}});
  return all;
}

const std::vector<Dilution> dilutions{{1, 1, 0}, {10, 90, 0}, {10, 100, 2e-5}, {1, 99, 1.5e-5}};

}  // namespace

TEST_CASE("a slurry has the pH of the formula with its water in it") {
  for (const auto& [name, formula] : cases())
    for (const auto& dilution : dilutions)
      for (const double t : {25.0, 40.0}) {
        CAPTURE(name);
        CAPTURE(dilution.water_g);
        CAPTURE(t);
        Conditions conditions;
        conditions.temperature = celsius(t);
        const auto phase = *water_phase_of(formula, built_in, conditions);
        const auto slurry = diluted(phase, dilution, built_in);
        const auto truth = really_diluted(formula, dilution, conditions);
        CHECK(std::abs(ph_of(slurry) - ph_of(truth)) < 1e-9);
        CHECK(slurry.water_percent == doctest::Approx(truth.water_percent));
      }
}

// Water really added brings its own 1e-6 meq/g of ±; a dilution takes it for pure.
TEST_CASE("a slurry is as sure as the formula with its water in it") {
  for (const auto& [name, formula] : cases()) {
    CAPTURE(name);
    const Dilution dilution{10, 90, 0};
    auto phase = *water_phase_of(formula, built_in);
    add_unlisted_charge(phase, formula, built_in);
    auto truth = really_diluted(formula, dilution);
    add_unlisted_charge(truth, with_water(formula, dilution), built_in);
    const auto slurry = predict(diluted(phase, dilution, built_in), 0), real = predict(truth, 0);
    CHECK(std::abs(slurry.p05 - real.p05) < 2e-4);
    CHECK(std::abs(slurry.p95 - real.p95) < 2e-4);
    REQUIRE(slurry.charge_meq_per_kg.size() == formula.items.size());
    for (std::size_t i = 0; i < formula.items.size(); ++i)
      CHECK(slurry.charge_meq_per_kg[i] == doctest::Approx(real.charge_meq_per_kg[i]));
  }
}

TEST_CASE("no water changes nothing, and water twice is water once") {
  const auto phase = *water_phase_of(samples::sample("heel-cream"), built_in);
  CHECK(ph_of(diluted(phase, {}, built_in)) == ph_of(phase));
  const auto twice = diluted(diluted(phase, {1, 1, 1e-5}, built_in), {2, 8, 1e-5}, built_in);
  const auto once = diluted(phase, {1, 9, 1e-5}, built_in);
  // carbonate of the first water is thinned with the product: both waters hold the same
  CHECK(std::abs(ph_of(twice) - ph_of(once)) < 1e-9);
}

TEST_CASE("what a dilution cannot be is said at once") {
  const auto phase = *water_phase_of(samples::sample("hand-gel"), built_in);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  try {
    diluted(phase, {0, -1, nan}, built_in);
    FAIL("not refused");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 3);
  }
}

// Rain and distilled water that have stood in the air read about 5.6 (memory; with 425 ppm).
TEST_CASE("water that has stood in the air has pH 5.6") {
  const double carbonate = carbon_dioxide_of_air(built_in);
  CHECK(carbonate == doctest::Approx(1.7e-5).epsilon(0.05));
  CHECK(carbon_dioxide_of_air(built_in, 10) > 1.3 * carbonate);
  const auto water = *water_phase_of(samples::formula_of({}), built_in);
  CHECK(ph_of(diluted(water, {1, 1e6, carbonate}, built_in)) == doctest::Approx(5.6).epsilon(0.01));
  CHECK(ph_of(diluted(water, {1, 1e6, 0}, built_in)) == doctest::Approx(7.0).epsilon(0.001));
}

// Compositions per litre: Lange's Handbook of Chemistry, Table 8.15 (studfile.net 408311, seen
// 2026-11-30): KH2PO4 3.39 g, Na2HPO4 3.53 g; NaHCO3 2.10 g, Na2CO3 2.65 g. What equal water does
// to their pH, the dilution value: + 0.080 and + 0.079 (Bates; from memory).
TEST_CASE("equal water moves standard buffers by their dilution values") {
  const auto moved = [](const std::vector<std::pair<std::string, double>>& items) {
    const auto phase = *water_phase_of(samples::formula_of(items), built_in);
    return ph_of(diluted(phase, {1, 1, 0}, built_in)) - ph_of(phase);
  };
  const double phosphate =
      moved({{"potassium-dihydrogen-phosphate", 0.339}, {"disodium-phosphate", 0.353}});
  const double carbonate = moved({{"sodium-bicarbonate", 0.210}, {"sodium-carbonate", 0.265}});
  MESSAGE("phosphate ", phosphate, ", carbonate ", carbonate);
  CHECK(std::abs(phosphate - 0.080) < 0.02);
  CHECK(std::abs(carbonate - 0.079) < 0.02);
}

TEST_CASE("a buffered product hardly notices ten times its water, an unbuffered one does") {
  const double air = carbon_dioxide_of_air(built_in);
  const auto shift = [](const Formula& formula, double carbonate) {
    const auto phase = *water_phase_of(formula, built_in);
    return ph_of(diluted(phase, {10, 90, carbonate}, built_in)) - ph_of(phase);
  };
  for (const auto& [name, formula] : cases())
    MESSAGE(std::string(name), ": boiled water ", shift(formula, 0), ", water from the air ",
            shift(formula, air));
  const auto buffered = samples::formula_of({{"lactic-acid-80", 2}, {"sodium-lactate-60", 3}}),
             unbuffered = samples::formula_of({{"trisodium-citrate-dihydrate", 4}});
  CHECK(std::abs(shift(buffered, air)) < 0.25);
  CHECK(std::abs(shift(buffered, air) - shift(buffered, 0)) < 0.01);
  CHECK(shift(unbuffered, air) < shift(unbuffered, 0) - 0.05);
}

// ISO 4316:1977 takes distilled water free from carbon dioxide, and leaves the concentration to the
// product's own standard (kmxqt.com, seen 2026-11-30); EN 1262:2003 allows a solution of 10 % by
// mass of active matter (din.de, seen 2026-11-30: "Verwendung einer Lösung mit einem Massenanteil
// von 10 % Aktivsubstanz"). A material that declares its pH so has it so, and another as it is.
TEST_CASE("a raw material in its standard's water has the pH that it declares") {
  std::size_t seen = 0;
  for (const auto& ingredient : built_in.ingredients()) {
    const auto& material = material_of(ingredient.id, built_in);
    if (material.water_g_per_g < 0.2) continue;
    for (const auto& row : built_in.ranges_of(ingredient.id)) {
      if (row.kind != "as-supplied" || row.rank != 1 || !row.minimum || !row.maximum) continue;
      const double percent = row.at_percent.value_or(100);
      if (percent >= 100 || material.residual.row_id != row.provenance.row_id) continue;
      Formula neat;
      neat.items.push_back({});
      neat.items[0].written = neat.items[0].ingredient = std::string(ingredient.id);
      neat.items[0].percent = neat.total_percent = 100;
      const auto phase = water_phase_of(neat, built_in);
      REQUIRE(phase);
      const double ph = ph_of(diluted(*phase, {percent, 100 - percent, 0}, built_in));
      CAPTURE(ingredient.id);
      CHECK(ph > *row.minimum - 0.11);
      CHECK(ph < *row.maximum + 0.11);
      ++seen;
    }
  }
  MESSAGE(seen, " materials");
  CHECK(seen > 20);
}

namespace {

/// A batch with so much strong charge (mol/kg of its water) that no line accounts for.
WaterPhase with_charge(WaterPhase phase, double charge) {
  phase.mixture.add_strong_charge(charge);
  return phase;
}

double batch_level(std::string_view kind) {
  for (const auto& row : built_in.levels_of("batch"))
    if (row.kind == kind && row.rank == 1) return row.value;
  return 0;
}

/// Buffering that no line accounts for, mol/kg of water at each whole pK: what the middle of nine
/// batches in ten has (a half-normal amount).
double usual_buffer(const WaterPhase& phase) {
  double guessed = 0;
  for (const auto& driver : phase.drivers)
    if (driver.guessed) guessed += 0.5 * (driver.high - driver.low);
  return 0.798 / 1.645 *
         std::hypot(batch_level("unlisted-buffer") / 1000,
                    batch_level("unlisted-buffer-share") * guessed);
}

/// A batch and its slurry, the water really added, with hidden charge and hidden buffering.
struct Truth {
  WaterPhase batch, slurry;

  Truth(const Formula& formula, const Dilution& dilution, double charge, bool buffers)
      : batch(with_charge(*water_phase_of(formula, built_in), charge)),
        slurry(really_diluted(formula, dilution)) {
    const double share = share_of_own_water(batch, dilution);
    slurry.mixture.add_strong_charge(charge * share);
    if (!buffers) return;
    const double ph = ph_of(batch), each = usual_buffer(batch),
                 before = charge_at(batch, ph).charge;
    for (int pK = 2; pK <= 12; ++pK) {
      add(batch, pK, each);
      add(slurry, pK, each * share);
    }
    const double tied = before - charge_at(batch, ph).charge;
    batch.mixture.add_strong_charge(tied);
    slurry.mixture.add_strong_charge(tied * share);
  }

 private:
  static void add(WaterPhase& phase, int pK, double molality) {
    const auto* group = built_in.substance("buffer-group-" + std::to_string(pK));
    phase.mixture.protolytes.push_back(
        {molality, chemistry::Ladder(protolyte_of(*group, built_in), 25 + ice_point_kelvin)});
  }
};

/// Learns once from the product, once from its slurry, and holds both together.
void check_alike(const std::string& name, double meq, bool buffers) {
  CAPTURE(name);
  CAPTURE(meq);
  const auto formula = samples::sample(name);
  const Dilution dilution{10, 90, 1.5e-5};
  const Truth truth(formula, dilution, meq / 1000, buffers);
  std::vector<BatchReading> one{{ph_of(truth.batch)}}, other{{ph_of(truth.slurry)}};
  other[0].dilution = dilution;
  const Bench bench{0.02, 0.01};
  const auto a = calibrate(formula, one, built_in, {}, bench),
             b = calibrate(formula, other, built_in, {}, bench);
  const auto &x = a.unexplained_meq_per_kg, &y = b.unexplained_meq_per_kg;
  const double half = 0.5 * (y.high - y.low);
  MESSAGE(name, ", ", meq, " meq: direct ", one[0].ph, ", slurry ", other[0].ph, ", learned ",
          x.value, " and ", y.value, " +- ", half, ", pH ", ph_of(*b.phase));
  CHECK(std::abs(y.value - x.value) < 0.1 * std::abs(x.value) + 0.5 * half);
  CHECK(std::abs(ph_of(*b.phase) - ph_of(*a.phase)) < 0.05);
  CHECK(b.phase->water_percent == doctest::Approx(a.phase->water_percent));
  CHECK(predict(*b.phase, 0).charge_meq_per_kg.size() >= formula.items.size());
}

}  // namespace

TEST_CASE("a slurry's reading teaches what the product's own would") {
  for (const auto& name : samples::names)
    for (const double meq : {-0.8, 0.8}) check_alike(name, meq, true);
}

// Without any buffering that no line accounts for, which hardly a batch has: a slurry of a product
// that buffers tells the same all the same.
TEST_CASE("of a buffered product it does so whatever else buffers") {
  for (const double meq : {-0.8, 0.8}) {
    check_alike("heel-cream", meq, false);
    check_alike("hand-gel", meq, false);
  }
}

TEST_CASE("a reading at another temperature teaches of the batch at its own") {
  const auto formula = samples::formula_of({{"tromethamine", 1}, {"lactic-acid-80", 0.6}});
  Conditions cold;
  cold.temperature = celsius(8);
  const double charge = 0.004;
  const double at_8 = ph_of(with_charge(*water_phase_of(formula, built_in, cold), charge)),
               at_25 = ph_of(with_charge(*water_phase_of(formula, built_in), charge));
  CHECK(at_8 > at_25 + 0.3);  // an amine
  std::vector<BatchReading> readings{{at_8}};
  readings[0].celsius = 8;
  const auto learned = calibrate(formula, readings, built_in, {}, {0.02, 0.01});
  CHECK(std::abs(ph_of(*learned.phase) - at_25) < 0.03);
  CHECK_FALSE(learned.beyond_tables);
}

TEST_CASE("a fresh batch is held against what it is when it is fresh") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const auto formula = samples::sample(name);
    const auto fresh = aged_phase(formula, *water_phase_of(formula, built_in), built_in, 1);
    std::vector<BatchReading> readings{{ph_of(fresh)}};
    readings[0].age_days = 1;
    const auto learned = calibrate(formula, readings, built_in, {}, {0.02, 0.01});
    CHECK(std::abs(learned.readings[0].surprise) < 0.3);
    CHECK(std::abs(ph_of(*learned.phase) - ph_of(*water_phase_of(formula, built_in))) < 0.05);
  }
}

TEST_CASE("a coarse reading teaches less than a fine one") {
  const auto formula = samples::sample("hand-gel");
  const double ph = ph_of(*water_phase_of(formula, built_in)) + 0.4;
  std::vector<BatchReading> fine{{ph}}, coarse{{ph}};
  coarse[0].half_ph = 0.5;
  const auto a = calibrate(formula, fine, built_in), b = calibrate(formula, coarse, built_in);
  CHECK(std::abs(b.unexplained_meq_per_kg.value) < 0.9 * std::abs(a.unexplained_meq_per_kg.value));
  const auto width = [](const Calibration& c) {
    const auto p = predict(*c.phase, 0);
    return p.p95 - p.p05;
  };
  CHECK(width(b) > width(a));
}

TEST_CASE("what a reading cannot be is said at once") {
  std::vector<BatchReading> readings{{6}};
  readings[0].age_days = -1;
  readings[0].celsius = 200;
  readings[0].half_ph = -0.1;
  readings[0].dilution = {0, 10, 0};
  try {
    calibrate(samples::sample("hand-gel"), readings, built_in);
    FAIL("not refused");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 4);
  }
}
