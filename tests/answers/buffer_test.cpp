// SPDX-License-Identifier: MIT
// Buffers for a formula, beside Henderson and Hasselbalch, Van Slyke, published tables and the
// chemistry floor asked directly.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <counterion/dosing/amounts.hpp>
#include <counterion/dosing/buffer.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace counterion;

namespace {

const Tables& facts() { return Tables::built_in(); }

Buffers buffers(const Formula& formula, const BufferAim& aim, const Conditions& conditions = {}) {
  return buffers_for(formula, water_phase_of(formula, facts(), conditions).value(), aim, facts());
}

std::size_t place_of(const Buffers& found, const std::string& system) {
  const auto at = std::ranges::find(found.pairs, system, &BufferPair::system);
  REQUIRE(at != found.pairs.end());
  return static_cast<std::size_t>(at - found.pairs.begin());
}

BufferPair pair_of(const Buffers& found, const std::string& system) { return found.pairs[place_of(found, system)]; }

/// Partners of a pair, mol per kg of the finished formula's water.
struct Molalities {
  double acid = 0, base = 0;

  Molalities(const Formula& formula, const BufferPair& pair, const Conditions& conditions = {}) {
    const Formula buffered = with_buffer(formula, pair, facts());
    const auto phase = water_phase_of(buffered, facts(), conditions).value();
    for (const auto& part : phase.parts) {
      const auto& id = buffered.items[part.item].ingredient;
      if (id == pair.acid.ingredient) acid += part.molality;
      if (id == pair.base.ingredient) base += part.molality;
    }
  }
};

/// log10 of the coefficient of an ion by Davies' equation at 25 °C, A = 0.509.
double log_gamma(int charge, double I) {
  return -0.509 * charge * charge * (std::sqrt(I) / (1 + std::sqrt(I)) - 0.3 * I);
}

Formula plain_water() { return samples::formula_of({}); }

/// Whether two figures agree to a share of the second.
bool agree(double a, double b, double share) { return std::abs(a - b) <= share * std::abs(b); }

double total_percent(const Formula& formula) {
  return std::accumulate(formula.items.begin(), formula.items.end(), 0.0,
                         [](double sum, const FormulaItem& item) { return sum + item.percent; });
}

}  // namespace

TEST_CASE("A dilute acetate buffer has the ratio that Henderson and Hasselbalch give") {
  for (const double ph : {4.3, 4.756, 5.2}) {
    const auto found = buffers(plain_water(), {ph, 0.3, 0, 0.2});
    const auto pair = pair_of(found, "acetate");
    REQUIRE(pair.possible);
    REQUIRE(pair.ionic_strength < 0.005);
    const Molalities m(plain_water(), pair);
    const double log_g = log_gamma(1, pair.ionic_strength), h = std::pow(10.0, -ph - log_g);
    const double ratio = (m.base + h) / (m.acid - h);  // some of the acid has let go by itself
    CHECK(std::abs(std::log10(ratio) - (ph - 4.756 - log_g)) < 0.0005);
  }
}

TEST_CASE("The capacity of an acetate buffer is the one of Van Slyke's equation") {
  for (const double ph : {4.0, 4.6, 5.5}) {  // J. Biol. Chem. 52, 525 (1922)
    const auto pair = pair_of(buffers(plain_water(), {ph, 1, 1, 0.2}), "acetate");
    const Molalities m(plain_water(), pair);
    const double log_g = log_gamma(1, pair.ionic_strength);
    const double K = std::pow(10.0, -4.756 - 2 * log_g), h = std::pow(10.0, -ph - log_g);
    const double capacity = std::log(10.0) * ((m.acid + m.base) * K * h / ((K + h) * (K + h)) + h);
    CHECK(agree(pair.buffer_capacity, capacity, 0.025));  // the base's own salt moves the coefficients
  }
}

TEST_CASE("The capacity of a citrate buffer is the spread of its charge, as Van Slyke has it") {
  for (const double ph : {3.5, 4.5, 5.8}) {
    const auto found = buffers(plain_water(), {ph, 1, 0, 0.2});
    const auto pair = pair_of(found, "citrate");
    REQUIRE(pair.possible);
    const Molalities m(plain_water(), pair);
    const double I = pair.ionic_strength, log_g = log_gamma(1, I), h = std::pow(10.0, -ph - log_g);
    double weight = 1, sum = 1, mean = 0, square = 0;
    const double pK[] = {3.127, 4.759, 6.397};
    for (int lost = 1; lost <= 3; ++lost) {
      const double shift = log_gamma(lost, I) + log_g - log_gamma(lost - 1, I);
      weight *= std::pow(10.0, -pK[lost - 1] - shift) / h;
      sum += weight, mean += lost * weight, square += lost * lost * weight;
    }
    mean /= sum, square /= sum;
    const double capacity = std::log(10.0) * ((m.acid + m.base) * (square - mean * mean) + h);
    CHECK(agree(pair.buffer_capacity, capacity, 0.07));  // the same, more where charges are high
  }
}

TEST_CASE("The load moves an acetate buffer as the chemistry floor alone says") {
  const Protolyte acetic_acid(0, {{4.756}}, "acetic acid");
  const StrongIon sodium{"sodium", 1, 4};
  for (const double ph : {4.2, 5.0}) {
    const BufferAim aim{ph, 8, 5, 0.15};
    const auto pair = pair_of(buffers(plain_water(), aim), "acetate");
    const Molalities m(plain_water(), pair);
    const double water = water_phase_of(with_buffer(plain_water(), pair, facts()), facts())->water_percent / 100;
    const auto ph_with = [&](double mmol_per_kg) {
      const Amount amounts[] = {{acetic_acid, mol_per_kg(m.acid + m.base)}, {sodium, mol_per_kg(m.base)}};
      return Solution(amounts, {}, mol_per_kg(mmol_per_kg / 1000 / water)).ph().value();
    };
    CHECK(std::abs(ph_with(0) - ph) < 1e-4);
    CHECK(std::abs(ph_with(-aim.acid_mmol_per_kg) - pair.ph.after_acid.value()) < 1e-4);
    CHECK(std::abs(ph_with(aim.base_mmol_per_kg) - pair.ph.after_base.value()) < 1e-4);
    CHECK(agree(pair.ph.shift_from(ph), 0.15, 0.002));
  }
}

namespace {

/// A recipe of a published table as moles per kg of water of the acid partner and of the base partner.
struct Recipe {
  double acid = 0, base = 0;
  double grams_of_solids = 0;  ///< per kg of water
};

double molality_of(const test::Row& row, const std::string& which) {
  return row.number(which + "_mol_per_L") * row.number(which + "_mL") / row.number("volume_mL") /
         chemistry::water_density(row.number("temperature_celsius"));
}

/// What strong acid takes a recipe 0.2 down, mol per kg of water; the chemistry floor is asked.
double load_of(const Recipe& recipe, const Protolyte& acid, int charge_of_acid_partner, double ph,
               const Conditions& conditions) {
  const double strong = -charge_of_acid_partner * recipe.acid + (1 - charge_of_acid_partner) * recipe.base;
  const Amount amounts[] = {{acid, mol_per_kg(recipe.acid + recipe.base)}};
  const Solution solution(amounts, conditions, mol_per_kg(strong));
  return in_mol_per_kg(solution.strong_charge_for(pH(ph))) - in_mol_per_kg(solution.strong_charge_for(pH(ph - 0.2)));
}

/// The buffer that stands the load of a recipe has the recipe's partners.
void check_recipe(const Recipe& recipe, const std::string& system, double ph, double load, double tolerance_ph,
                  const Conditions& conditions = {}) {
  const double mmol_per_kg_batch = 1000 * load / (1 + recipe.grams_of_solids / 1000);
  const auto found = buffers(plain_water(), {ph, mmol_per_kg_batch, 0, 0.2}, conditions);
  const auto pair = pair_of(found, system);
  REQUIRE(pair.possible);
  const Molalities m(plain_water(), pair, conditions);
  INFO(system << " at pH " << ph << ": " << m.acid << " and " << m.base << " for " << recipe.acid << " and "
              << recipe.base);
  CHECK(std::abs(std::log10(m.base / m.acid) - std::log10(recipe.base / recipe.acid)) < tolerance_ph);
  CHECK(agree(m.acid + m.base, recipe.acid + recipe.base, 0.01));
}

}  // namespace

TEST_CASE("Recipes of a published acetate table come back") {
  const Protolyte acetic_acid(0, {{4.756}}, "acetic acid");
  int checked = 0;
  for (const auto& row : test::rows_of_file("chemistry/data/buffer_tables.csv")) {
    const double ph = row.number("pH");
    if (row.text("table") != "acetate, Lurie" || ph < 4.1 || ph > 5.6) continue;
    const double lye = molality_of(row, "first"), acid = molality_of(row, "second");
    const Recipe recipe{acid - lye, lye, 60 * (acid - lye) + 82 * lye};
    check_recipe(recipe, "acetate", ph, load_of(recipe, acetic_acid, 0, ph, {}), 0.03);
    ++checked;
  }
  CHECK(checked == 16);
}

TEST_CASE("Recipes of a published phosphate table come back") {
  const Protolyte phosphoric_acid(0, {{2.148, -7.9, -141}, {7.198, 3.6, -230}, {12.375, 15, -242}}, "phosphoric acid");
  Conditions conditions;
  conditions.temperature = celsius(20);
  int checked = 0;
  for (const auto& row : test::rows_of_file("chemistry/data/buffer_tables.csv")) {
    const double ph = row.number("pH");
    if (row.text("table") != "phosphate, Sørensen M/15" || ph < 6.2 || ph > 7.8) continue;
    const double acid = molality_of(row, "first"), base = molality_of(row, "second");
    const Recipe recipe{acid, base, 120 * acid + 142 * base};
    check_recipe(recipe, "phosphate", ph, load_of(recipe, phosphoric_acid, -1, ph, conditions), 0.07, conditions);
    ++checked;
  }
  CHECK(checked == 8);
}

TEST_CASE("Tromethamine recipes for three temperatures come back") {
  const Protolyte tris(1, {{8.072, 47.45, -59}}, "tris");
  int checked = 0;
  for (const auto& row : test::rows_of_file("chemistry/data/buffer_tables.csv")) {
    if (row.text("table") != "tris at 5, 25 and 37 °C") continue;
    Conditions conditions;
    conditions.temperature = celsius(row.number("temperature_celsius"));
    const double ph = row.number("pH"), acid = molality_of(row, "first"), base = molality_of(row, "second");
    const Recipe recipe{acid, base, 158 * acid + 121 * base};
    check_recipe(recipe, "tromethamine", ph, load_of(recipe, tris, 1, ph, conditions), 0.1, conditions);
    ++checked;
  }
  CHECK(checked == 15);
}

TEST_CASE("Every buffer that is offered holds in the formula, and less of it would not") {
  int possible = 0;
  for (const std::string text : {"glycerin 5", "urea 5; sodium-lactate-60 1", "niacinamide 4; panthenol 1",
                                 "carbomer 0.3; propylene-glycol 20", "sodium-laureth-sulfate-27 30",
                                 "caprylic-capric-triglyceride 40; polysorbate-60 4; benzoic-acid 0.3"})
    for (const double ph : {3.6, 4.8, 5.5, 7.2, 9.0}) {
      const Formula formula = samples::formula_of(samples::items_of(text));
      const BufferAim aim{ph, 4, 2, 0.2};
      for (const auto& pair : buffers(formula, aim).pairs) {
        INFO(text << " at pH " << ph << ": " << pair.system << " " << pair.acid.percent << " " << pair.base.percent);
        CHECK(pair.possible == pair.why_not.empty());
        if (!pair.possible) continue;
        ++possible;
        const Formula buffered = with_buffer(formula, pair, facts());
        CHECK(agree(total_percent(buffered), 100, 1e-9));
        const auto phase = water_phase_of(buffered, facts()).value();
        const auto ph_with = [&](double mmol) {
          auto mixture = phase.mixture;
          mixture.add_strong_charge(mmol / 10 / phase.water_percent);
          return -chemistry::solve(mixture, phase.water, chemistry::DaviesModel{phase.water}).x / std::log(10.0);
        };
        CHECK(std::abs(ph_with(0) - ph) <= 1e-4);
        const double worst = std::max(ph - ph_with(-4), ph_with(2) - ph);
        CHECK(worst <= 0.2);
        if (pair.acid.percent > 0 && pair.base.percent > 0) CHECK(worst > 0.1995);
        CHECK(pair.percent_dry <= most_buffer_percent);
      }
    }
  CHECK(possible > 100);
}

TEST_CASE("Twice the load asks for about twice the buffer") {
  const auto once = buffers(plain_water(), {4.8, 1, 1, 0.2}), twice = buffers(plain_water(), {4.8, 2, 2, 0.2});
  const double ratio = pair_of(twice, "acetate").percent_dry / pair_of(once, "acetate").percent_dry;
  CHECK(agree(ratio, 2, 0.05));
}

TEST_CASE("A formula that holds by itself is left alone") {
  auto formula = samples::formula_of({{"citric-acid", 1.5}, {"trisodium-citrate-dihydrate", 3}});
  const double ph = ph_of(water_phase_of(formula, facts()).value());
  const auto found = buffers(formula, {ph, 5, 5, 0.2});
  CHECK(found.holds_already);
  CHECK(found.pairs.empty());
  CHECK(found.as_it_is.shift_from(ph) < 0.2);
}

TEST_CASE("A formula that only stands elsewhere needs an adjuster, not a buffer") {
  auto formula = samples::formula_of({{"citric-acid", 1.5}, {"trisodium-citrate-dihydrate", 3}});
  const auto found = buffers(formula, {5.4, 3, 3, 0.2});
  CHECK_FALSE(found.holds_already);
  CHECK(found.holds_once_there);
  CHECK(found.pairs.empty());
  REQUIRE(found.once_there);
  CHECK(found.once_there->shift_from(5.4) < 0.2);
}

TEST_CASE("What a formula buffers itself is not weighed again") {
  const BufferAim aim{4.6, 10, 0, 0.2};
  const double alone = pair_of(buffers(plain_water(), aim), "acetate").percent_dry;
  const auto part = samples::formula_of({{"acetic-acid", 0.3}, {"sodium-acetate-trihydrate", 0.5}});
  const double beside = pair_of(buffers(part, aim), "acetate").percent_dry;
  CHECK(beside < alone - 0.3);
}

TEST_CASE("Phosphate is not offered at pH 4.5, nor acetate at 7") {
  const auto acid = buffers(plain_water(), {4.5, 5, 5, 0.2}), neutral = buffers(plain_water(), {7, 5, 5, 0.2});
  CHECK_FALSE(pair_of(acid, "phosphate").possible);
  CHECK(pair_of(acid, "phosphate").why_not.find("7.2") == std::string::npos);  // the nearest is 2.1
  CHECK_FALSE(pair_of(neutral, "acetate").possible);
  CHECK(neutral.pairs.front().system == "phosphate");
  CHECK(acid.pairs.front().system == "acetate");
  CHECK(pair_of(acid, "phosphate").acid.grams == 0);
}

TEST_CASE("More than five percent is not offered") {
  const auto pair = pair_of(buffers(plain_water(), {4.2, 40, 0, 0.1}), "citrate");
  CHECK_FALSE(pair.possible);
  CHECK(pair.why_not.find("5 %") != std::string::npos);
}

TEST_CASE("Beside carbomer the ions of three charges rank behind those of one") {
  const auto formula = samples::formula_of({{"carbomer", 0.4}, {"sodium-hydroxide-10", 1.1}, {"glycerin", 3}});
  const auto found = buffers(formula, {4.8, 4, 0, 0.2});
  const auto citrate = pair_of(found, "citrate");
  REQUIRE(citrate.possible);
  CHECK(citrate.thinning > pair_of(found, "acetate").thinning);
  CHECK(place_of(found, "acetate") < place_of(found, "citrate"));
  REQUIRE(citrate.electrolyte.thickeners.size() == 1);
  CHECK(citrate.electrolyte.thins(citrate.electrolyte.thickeners.front()));
}

TEST_CASE("A gel that is not yet neutralised takes lye, and says so") {
  const auto found = buffers(samples::formula_of({{"carbomer", 0.4}, {"glycerin", 3}}), {5.2, 3, 0, 0.2});
  const auto lactate = pair_of(found, "lactate");
  CHECK(lactate.possible);
  CHECK(lactate.made_in_place);
  CHECK(lactate.base.ingredient == "sodium-hydroxide-10");
  const auto in_water = pair_of(buffers(plain_water(), {4, 3, 0, 0.2}), "lactate");
  CHECK_FALSE(in_water.made_in_place);
}

TEST_CASE("Beside much acid lye spares salt") {
  const auto formula = samples::formula_of({{"salicylic-acid", 1}, {"benzoic-acid", 0.4}});
  const auto lactate = pair_of(buffers(formula, {4.2, 8, 8, 0.1}), "lactate");
  REQUIRE(lactate.possible);
  CHECK(lactate.made_in_place);
  CHECK(lactate.acid.percent > 0);
}

TEST_CASE("What meets something of the formula ranks behind") {
  const auto found = buffers(samples::formula_of({{"zinc-oxide", 5}}), {7.2, 1, 1, 0.05});
  const auto phosphate = pair_of(found, "phosphate");
  REQUIRE(phosphate.possible);
  CHECK(phosphate.clashes >= 1);
  CHECK(std::ranges::find(phosphate.cautions, "C081", &FiredCaution::id) != phosphate.cautions.end());
  CHECK(place_of(found, "tromethamine") < place_of(found, "phosphate"));
}

TEST_CASE("A pH that a partner does not tolerate is told") {
  const auto found = buffers(plain_water(), {3.3, 2, 0, 0.2});
  const auto lactate = pair_of(found, "lactate");
  CHECK(lactate.possible);
  CHECK(lactate.outside_range);
  REQUIRE_FALSE(lactate.narrowing.empty());
  CHECK(place_of(found, "citrate") < place_of(found, "lactate"));
}

TEST_CASE("Without water to give way the buffer comes on top, and grams are for the batch") {
  auto formula = samples::formula_of({{"rose-hydrosol", 95}, {"glycerin", 5}});
  formula.batch_g = 500;
  const auto found = buffers(formula, {5, 3, 3, 0.2});
  const auto pair = pair_of(found, "acetate");
  REQUIRE(pair.possible);
  CHECK_FALSE(pair.from_water);
  const double grown = 500 + pair.acid.grams + pair.base.grams;
  CHECK(agree(pair.acid.grams / grown * 100, pair.acid.percent, 1e-9));
  CHECK(agree(pair.base.grams / grown * 100, pair.base.percent, 1e-9));
  const Formula buffered = with_buffer(formula, pair, facts());
  CHECK(agree(total_percent(buffered), 100, 1e-9));
  CHECK(agree(buffered.items[buffered.items.size() - 2].percent, pair.acid.percent, 1e-9));
}

TEST_CASE("Every fault of an aim is said at once") {
  const auto problems_of = [](const BufferAim& aim) {
    try {
      buffers(plain_water(), aim);
    } catch (const BadInput& fault) {
      return fault.problems().size();
    }
    return std::size_t{0};
  };
  CHECK(problems_of({15, -1, 2000, 0}) == 4);
  CHECK(problems_of({5, 0, 0, 0.2}) == 1);
  CHECK(problems_of({NAN, 1, NAN, INFINITY}) == 3);
  CHECK(problems_of({5, 1, 0, 0.2}) == 0);
}
