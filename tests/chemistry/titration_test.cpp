// SPDX-License-Identifier: MIT
// Amounts along a grid of pH.
#include <counterion/chemistry/solution.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

namespace {

const std::vector<Amount> vinegar{{Protolyte(0, {{4.756}}, "acetic acid"), mol_per_kg(0.1)}};

}  // namespace

TEST_CASE("a titration curve holds the amounts that each pH asks, and none where the additive does not reach") {
  const Solution vinegar_solution(vinegar);
  const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}};
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
