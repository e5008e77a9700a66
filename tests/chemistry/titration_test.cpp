// SPDX-License-Identifier: MIT
// Amounts along a grid of pH, by every kernel that this processor can run and one by one.
#include "kernels.hpp"
#include "random_mixture.hpp"
#include "rows.hpp"

#include <counterion/chemistry/solution.hpp>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

using namespace counterion;

namespace {

const std::vector<Amount> vinegar{{Protolyte(0, {{4.756}}, "acetic acid"), mol_per_kg(0.1)}};
const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}};

/// What the curve says of a pH against what the dose for it alone is, as pH.
struct Comparison {
  test::Deviations ph;
  int points = 0, reached = 0, only_one = 0;

  void add(const Solution& solution, const Additive& additive, double ph_asked,
           const std::optional<double>& amount, const std::string& where) {
    const auto alone = dose_for(solution, additive, pH(ph_asked)).amount;
    ++points;
    if (amount.has_value() != alone.has_value()) ++only_one;
    if (!amount) return;
    ++reached;
    const double water = 1 + *amount * in_grams(additive.water) / 1000;
    std::vector<Amount> sum(solution.amounts().begin(), solution.amounts().end());
    for (auto& part : sum) part.molality = mol_per_kg(in_mol_per_kg(part.molality) / water);
    for (auto part : additive.brings) {
      part.molality = mol_per_kg(in_mol_per_kg(part.molality) * *amount / water);
      sum.push_back(part);
    }
    const Solution end(sum, solution.conditions());
    ph.add(test::beyond(end.ph().value() - ph_asked, test::blur(end)), where);
  }
};

std::vector<double> random_grid(test::Dice& dice) {
  std::vector<double> grid;
  const int count = dice.whole(1, 30);
  const double first = dice.between(0, 14), last = dice.between(0, 14);
  for (int i = 0; i < count; ++i)
    grid.push_back(dice.chance(0.05) ? dice.between(0, 14) : first + (last - first) * i / count);
  return grid;
}

chemistry::Addition addition_from(const Additive& additive, const Conditions& conditions) {
  return {mixture_of(additive.brings, in_celsius(conditions.temperature) + ice_point_kelvin),
          in_grams(additive.water) / 1000};
}

}  // namespace

TEST_CASE("a titration curve holds the amounts that each pH asks, and none where the additive does not reach") {
  const Solution vinegar_solution(vinegar);
  const std::vector<pH> grid{pH(2), pH(4), pH(4.756), pH(8), pH(12)};
  const auto curve = titration_curve(vinegar_solution, lye, grid);
  REQUIRE(curve.size() == grid.size());
  CHECK_FALSE(curve[0].amount);
  for (std::size_t i = 1; i < curve.size(); ++i) {
    REQUIRE(curve[i].amount);
    const Solution again(vinegar, {}, mol_per_kg(*curve[i].amount));
    CHECK(std::abs(again.ph().value() - grid[i].value()) <= 1e-9);
  }
  CHECK(*curve[1].amount < *curve[2].amount);
}

TEST_CASE("a grid may have any order, the same pH twice, or nothing") {
  const Solution solution(vinegar);
  const std::vector<pH> grid{pH(8), pH(4), pH(12), pH(4), pH(4), pH(6), pH(3)};
  const auto curve = titration_curve(solution, lye, grid);
  for (std::size_t i = 0; i < grid.size(); ++i)
    CHECK(*curve[i].amount == doctest::Approx(*dose_for(solution, lye, grid[i]).amount).epsilon(1e-9));
  CHECK(*curve[1].amount == doctest::Approx(*curve[3].amount).epsilon(1e-10));
  CHECK(titration_curve(solution, lye, {}).empty());
}

TEST_CASE("every pH of a grid that is none is named at once") {
  const std::vector<pH> grid{pH(4), pH(-11), pH(5), pH(std::nan(""))};
  try {
    titration_curve(Solution(vinegar), lye, grid);
    FAIL("nothing was thrown");
  } catch (const BadInput& error) {
    CHECK(error.problems().size() == 2);
  }
}

TEST_CASE("curves beside oil, crystals, gases and polymers are their doses") {
  for (const auto* kernel : test::all_ways()) {
    Comparison all;
    for (std::uint64_t number = 1; number <= 100; ++number) {
      test::Dice dice(number);
      const auto batch = test::random_batch(dice);
      const Solution solution(batch);
      const Additive ion{{{dice.chance(0.5) ? StrongIon{"sodium", 1} : StrongIon{"chloride", -1}, mol_per_kg(1)}}};
      const auto grid = random_grid(dice);
      const auto curve = chemistry::titrate_with(kernel, solution, addition_from(ion, {}), grid, 100);
      for (std::size_t i = 0; i < grid.size(); ++i)
        all.add(solution, ion, grid[i], curve[i].amount, fmt::format("mixture {}", number));
    }
    INFO(test::name_of(kernel));
    MESSAGE(all.ph.summary() << "; reached " << all.reached << " of " << all.points);
    CHECK(all.only_one == 0);
    CHECK(all.ph.worst() <= 1e-9);
  }
}

TEST_CASE("a small amount is as sure as a large one, in whatever unit it is counted") {
  const std::vector<Amount> brine{{StrongIon{"sodium", 1}, mol_per_kg(0.15)},
                                  {StrongIon{"chloride", -1}, mol_per_kg(0.15)}};
  const Protolyte weak(0, {{6.5}}, "weak acid");
  for (const double moles : {1e-3, 1.0, 1e3})
    for (const double target : {6.9, 6.5, 6.2, 5.5}) {
      const Additive acid{{{weak, mol_per_kg(moles)}}};
      const auto curve = titration_curve(Solution(brine), acid, std::vector<pH>{pH(target)}, 1e6);
      const auto dose = dose_for(Solution(brine), acid, pH(target), 1e6);
      for (const auto& amount : {curve[0].amount, dose.amount}) {
        REQUIRE(amount);
        auto after = brine;
        after.push_back({weak, mol_per_kg(*amount * moles)});
        const Solution end(after);
        CHECK(test::beyond(end.ph().value() - target, test::blur(end)) <= 1e-9);
      }
    }
}

TEST_CASE("curves of random mixtures with random additives are their doses") {
  for (const auto* kernel : test::all_ways()) {
    Comparison all;
    for (std::uint64_t number = 1; number <= 200; ++number) {
      test::Dice dice(number);
      test::RandomMixture mixture;
      do mixture = test::random_mixture(dice);
      while (!test::is_tame(mixture.amounts));
      Additive additive;
      do additive = test::random_additive(dice);
      while (!test::is_tame(additive.brings));
      const Solution solution(mixture.amounts, mixture.conditions);
      const auto grid = random_grid(dice);
      const auto curve = chemistry::titrate_with(kernel, solution, addition_from(additive, mixture.conditions),
                                                 grid, 100);
      for (std::size_t i = 0; i < grid.size(); ++i)
        all.add(solution, additive, grid[i], curve[i].amount, fmt::format("mixture {}", number));
    }
    INFO(test::name_of(kernel));
    MESSAGE(all.ph.summary() << "; reached " << all.reached << " of " << all.points);
    CHECK(all.only_one == 0);
    CHECK(all.reached > all.points / 5);
    CHECK(all.ph.worst() <= 1e-9);
  }
}
