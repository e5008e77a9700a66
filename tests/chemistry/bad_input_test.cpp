// SPDX-License-Identifier: MIT
#include "rows.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace counterion;

namespace {

const double not_a_number = std::numeric_limits<double>::quiet_NaN();
const double infinite = std::numeric_limits<double>::infinity();
const Protolyte acetic(0, {{4.756}}, "acetic acid");
const std::vector<Amount> vinegar{{acetic, mol_per_kg(0.1)}};

template <class Work>
std::vector<Problem> problems_of(Work&& work) {
  try {
    work();
  } catch (const BadInput& error) {
    return error.problems();
  }
  FAIL("nothing was thrown");
  return {};
}

bool says(const Problem& problem, const std::string& words) {
  return describe(problem).find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("every faulty amount is named at once, those without a name by their place") {
  const std::vector<Amount> amounts{{acetic, mol_per_kg(not_a_number)},
                                    {acetic, mol_per_kg(0.1)},
                                    {StrongIon{"sodium", 1}, mol_per_kg(-0.1)},
                                    {StrongIon{"", -1}, mol_per_kg(infinite)}};
  Conditions hot;
  hot.temperature = celsius(95);
  const auto problems = problems_of([&] { Solution(amounts, hot, mol_per_kg(not_a_number)); });
  REQUIRE(problems.size() == 5);
  CHECK(says(problems[0], "'acetic acid' has the amount nan mol/kg"));
  CHECK(says(problems[1], "'sodium' has the amount -0.1 mol/kg"));
  CHECK(says(problems[2], "component 3 has the amount inf mol/kg"));
  CHECK(says(problems[3], "temperature is 95"));
  CHECK(says(problems[4], "strong charge"));
}

TEST_CASE("a temperature outside 0 to 80 °C is refused, its ends are not") {
  for (const double t : {-0.1, 80.1, not_a_number, infinite})
    CHECK_THROWS_AS(Solution(vinegar, {celsius(t)}), BadInput);
  for (const double t : {0.0, 80.0}) CHECK_NOTHROW(Solution(vinegar, {celsius(t)}));
}

TEST_CASE("a protolyte with several faults says all of them") {
  const auto problems = problems_of([] {
    Protolyte(99, {{not_a_number}, {4.7, infinite}}, "muddle", {1, -1});
  });
  REQUIRE(problems.size() == 5);
  for (const auto& problem : problems) CHECK(says(problem, "protolyte 'muddle'"));
}

TEST_CASE("a ladder without steps, sizes that do not match and negative sizes are refused") {
  CHECK(says(problems_of([] { Protolyte(0, {}); }).at(0), "no pK"));
  CHECK(says(problems_of([] { Protolyte(0, {{4.7}}, "", {4}); }).at(0), "1 ion sizes"));
  CHECK(says(problems_of([] { Protolyte(0, {{4.7}}, "", {4, not_a_number}); }).at(0), "ion size"));
  CHECK_THROWS_AS(Protolyte(0, {{4.7, 0, 0, -0.1}}), BadInput);
}

TEST_CASE("a solvent whose constants are no numbers is refused") {
  for (const Water& water : {Water{not_a_number}, Water{infinite}, Water{14, not_a_number},
                             Water{14, 0.5, not_a_number}}) {
    Conditions conditions;
    conditions.water = water;
    CHECK_THROWS_AS(Solution(vinegar, conditions), BadInput);
  }
}

TEST_CASE("a limit of Davies' equation that is negative or no number is refused") {
  for (const double limit : {not_a_number, -0.1}) {
    Conditions conditions;
    conditions.davies_held_beyond = mol_per_kg(limit);
    CHECK_THROWS_AS(Solution(vinegar, conditions), BadInput);
  }
}

TEST_CASE("a target that is no number is refused") {
  const Solution solution(vinegar);
  const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}};
  for (const double target : {not_a_number, infinite, -infinite, -50.0, 60.0}) {
    CHECK_THROWS_AS(solution.strong_charge_for(pH(target)), BadInput);
    CHECK_THROWS_AS(solution.amount_for(0, pH(target)), BadInput);
    CHECK_THROWS_AS(dose_for(solution, lye, pH(target)), BadInput);
  }
}

TEST_CASE("an additive that brings no number is refused") {
  const Solution solution(vinegar);
  const StrongIon sodium{"sodium", 1};
  CHECK_THROWS_AS(dose_for(solution, {{{sodium, mol_per_kg(not_a_number)}}}, pH(5)), BadInput);
  CHECK_THROWS_AS(dose_for(solution, {{{sodium, mol_per_kg(1)}}, grams(not_a_number)}, pH(5)),
                  BadInput);
  CHECK_THROWS_AS(dose_for(solution, {{{sodium, mol_per_kg(1)}}}, pH(5), not_a_number), BadInput);
  CHECK_THROWS_AS(dose_for(solution, {{{sodium, mol_per_kg(1)}}}, pH(5), -1), BadInput);
}

TEST_CASE("a position that no component has is out of range") {
  const Solution solution(vinegar);
  CHECK_THROWS_AS(solution.shares(1), std::out_of_range);
  CHECK_THROWS_AS(solution.amount_for(1, pH(5)), std::out_of_range);
}

TEST_CASE("an additive that cannot reach the target says how far it goes") {
  const Solution solution(vinegar);
  const Additive acid{{{acetic, mol_per_kg(1)}}};
  const Dose dose = dose_for(solution, acid, pH(7));
  CHECK_FALSE(dose.amount);
  CHECK(dose.reachable_end.value() < solution.ph().value());
}

TEST_CASE("an ion of absurd charge or size is refused, each fault named") {
  const std::vector<Amount> amounts{{StrongIon{"giant", 1000000}, mol_per_kg(0.1)},
                                    {StrongIon{"hollow", 1, -2.0}, mol_per_kg(0.1)}};
  try {
    const Solution solution(amounts);
    FAIL("it was taken");
  } catch (const BadInput& bad) {
    REQUIRE(bad.problems().size() == 2);
    CHECK(bad.problems()[0].found.find("giant") != std::string::npos);
    CHECK(bad.problems()[1].found.find("hollow") != std::string::npos);
  }
}
