// SPDX-License-Identifier: MIT
// Every first derivative against differences of the solution itself.
#include "random_mixture.hpp"
#include "rows.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace counterion;

namespace {

/// Central differences at one and two steps, extrapolated; the function gives a solution at a distance.
template <class SolutionAt>
Sensitivity by_difference(const SolutionAt& at, double step) {
  const auto slope = [&](double by) {
    const Solution after = at(by), before = at(-by);
    return Sensitivity{(after.ph().value() - before.ph().value()) / (2 * by),
                       in_mol_per_kg(after.ionic_strength() - before.ionic_strength()) / (2 * by)};
  };
  const Sensitivity near = slope(step), far = slope(2 * step);
  return {(4 * near.ph - far.ph) / 3, (4 * near.ionic_strength - far.ionic_strength) / 3};
}

/// Deviations relative to the derivative, what rounding of the difference does taken off.
struct Compared {
  test::Deviations ph, ionic;
  void add(const Sensitivity& exact, const Sensitivity& difference, double step, double blur,
           const std::string& where) {
    const auto relative = [step](double a, double b, double rounding) {
      return std::max(0.0, std::abs(a - b) - rounding / step) / (std::abs(a) + 1e-9);
    };
    ph.add(relative(exact.ph, difference.ph, 1e-12 + blur), where);
    ionic.add(relative(exact.ionic_strength, difference.ionic_strength, 1e-13 + 1e-2 * blur), where);
  }
};

/// How far rounding of the charges moves the pH.
double blur_of(const Solution& solution) {
  return 4e-15 * (solution.mixture().charge_scale() + 1e-7) / solution.buffer_capacity();
}

/// A step that moves the pH by about 0.0005.
double step_for(const Sensitivity& exact, double most) {
  return std::min(most, 5e-4 / std::max(std::abs(exact.ph), 1e-12));
}

std::vector<Amount> with_molality(std::vector<Amount> amounts, std::size_t i, double more) {
  amounts[i].molality = mol_per_kg(in_mol_per_kg(amounts[i].molality) + more);
  return amounts;
}

std::vector<Amount> with_pK(std::vector<Amount> amounts, std::size_t i, std::size_t step, double more) {
  const auto& old = std::get<Protolyte>(amounts[i].what);
  auto steps = old.steps();
  steps[step].pK += more;
  std::vector<double> sizes;
  for (std::size_t j = 0; j <= steps.size(); ++j) sizes.push_back(old.ion_size_angstrom(j));
  amounts[i].what = Protolyte(old.charge_fully_protonated(), steps, old.name(), sizes);
  return amounts;
}

struct All {
  Compared amounts, pKs, strong, temperature;
};

void compare_component(const std::vector<Amount>& amounts, const Conditions& conditions, std::size_t i,
                       const Solution& solution, const std::string& where, All& all) {
  const Sensitivity exact = solution.by_amount(i);
  const double step = step_for(exact, 0.005 * in_mol_per_kg(amounts[i].molality));
  if (step > 0)
    all.amounts.add(exact,
                    by_difference([&](double by) { return Solution(with_molality(amounts, i, by), conditions); },
                                  step),
                    step, blur_of(solution), where);
  const auto* protolyte = std::get_if<Protolyte>(&amounts[i].what);
  for (std::size_t j = 0; protolyte && j < protolyte->steps().size(); ++j) {
    const Sensitivity by_pK = solution.by_pK(i, j);
    const double pK_step = step_for(by_pK, 1e-3);
    all.pKs.add(by_pK,
                by_difference([&](double by) { return Solution(with_pK(amounts, i, j, by), conditions); },
                              pK_step),
                pK_step, blur_of(solution), where);
  }
}

void compare(const std::vector<Amount>& amounts, const Conditions& conditions, const std::string& where,
             All& all) {
  const Solution solution(amounts, conditions);
  for (std::size_t i = 0; i < amounts.size(); ++i)
    compare_component(amounts, conditions, i, solution, where, all);
  const double step = step_for(solution.by_strong_charge(), 1e-4);
  const auto with_ion = [&](double by) {  // more sodium, or less of the chloride that is there
    std::vector<Amount> more = amounts;
    more.push_back({StrongIon{"sodium", 1}, mol_per_kg(1 + by)});
    return Solution(more, conditions);
  };
  std::vector<Amount> salted = amounts;
  salted.push_back({StrongIon{"sodium", 1}, mol_per_kg(1)});
  all.strong.add(Solution(salted, conditions).by_strong_charge(), by_difference(with_ion, step), step,
                 blur_of(Solution(salted, conditions)), where);
  const double t = in_celsius(conditions.temperature);
  if (t < 1 || t > 79) return;
  const auto at_temperature = [&](double by) {
    Conditions there = conditions;
    there.temperature = celsius(t + by);
    return Solution(amounts, there);
  };
  all.temperature.add(solution.by_temperature(), by_difference(at_temperature, 0.02), 0.02,
                      blur_of(solution), where);
}

void report(const All& all) {
  MESSAGE("by amount, pH: " << all.amounts.ph.summary() << "; I: " << all.amounts.ionic.summary());
  MESSAGE("by pK, pH: " << all.pKs.ph.summary() << "; I: " << all.pKs.ionic.summary());
  MESSAGE("by strong charge, pH: " << all.strong.ph.summary() << "; I: " << all.strong.ionic.summary());
  MESSAGE("by temperature, pH: " << all.temperature.ph.summary() << "; I: "
                                 << all.temperature.ionic.summary());
}

void check_all(const All& all, double allowed) {
  report(all);
  for (const Compared* one : {&all.amounts, &all.pKs, &all.strong, &all.temperature}) {
    CHECK(one->ph.worst() <= allowed);
    CHECK(one->ionic.worst() <= allowed);
  }
}

const Protolyte citric(0, {{3.128, -4.07, -131}, {4.761, -2.23, -178}, {6.396, 3.38, -254}}, "citric-acid");
const Protolyte benzoic(0, {{4.202, -0.4, -150}}, "benzoic-acid");
const Protolyte ammonium(1, {{9.245, 52.2, 8}}, "ammonia");

std::vector<Amount> salted_citrate(NeutralForm benzoic_in = {}) {
  return {{citric, mol_per_kg(0.1)},
          {benzoic, mol_per_kg(0.03), benzoic_in},
          {ammonium, mol_per_kg(0.05)},
          {StrongIon{"sodium", 1}, mol_per_kg(0.12)},
          {StrongIon{"chloride", -1}, mol_per_kg(0.02)}};
}

}  // namespace

TEST_CASE("derivatives of random mixtures are their differences") {
  All all;
  int compared = 0;
  for (std::uint64_t number = 1; number <= 1500; ++number) {
    test::Dice dice(number);
    const auto mixture = test::random_mixture(dice);
    if (!test::is_tame(mixture.amounts)) continue;
    const Solution solution(mixture.amounts, mixture.conditions);
    const double I = in_mol_per_kg(solution.ionic_strength());
    // Next to the bend of Davies' held term, and where the extended equation folds over, no difference holds.
    if (I > 0.3) continue;
    compare(mixture.amounts, mixture.conditions, fmt::format("mixture {}", number), all);
    ++compared;
  }
  CHECK(compared > 200);
  check_all(all, 2e-5);
}

TEST_CASE("derivatives beside oil, pairs in it, crystals and a held gas are their differences") {
  NeutralForm crystals;
  crystals.solubility = 0.001;
  NeutralForm gas = crystals;
  gas.held = true;
  NeutralForm lactone;
  lactone.converted = 0.3;
  All all;
  for (const auto& [name, form] : {std::pair{"oil", shared_with_oil(5, 0.3)},
                                   {"pairs", shared_with_oil(5, 0.3, 100)},
                                   {"crystals", crystals},
                                   {"gas", gas},
                                   {"lactone", lactone}})
    compare(salted_citrate(form), {}, name, all);
  check_all(all, 1e-6);
}

TEST_CASE("derivatives with an acid polymer are their differences") {
  for (const double sodium : {0.0, 0.02, 0.05}) {
    std::vector<Amount> gel{{AcidPolymer{}, mol_per_kg(0.06)},
                            {benzoic, mol_per_kg(0.01)},
                            {StrongIon{"sodium", 1}, mol_per_kg(sodium)}};
    const Solution solution(gel);
    All all;
    compare(gel, {}, "gel", all);
    check_all(all, 1e-6);
    const auto with_pK0 = [&](double by) {
      gel[0].what = AcidPolymer{4.5 + by};
      return Solution(gel);
    };
    all.pKs.add(solution.by_pK(0, 0), by_difference(with_pK0, 1e-4), 1e-4, blur_of(solution), "pK0");
    CHECK(all.pKs.ph.worst() <= 1e-6);
  }
}

TEST_CASE("derivatives with specific interactions are their differences") {
  Conditions conditions{.activity = Activity::specific_ion};
  conditions.interactions = std::make_shared<Interactions>(std::vector<Interaction>{
      {{"sodium", 1}, {"citric-acid", -2}, -0.08}, {{"sodium", 1}, {"chloride", -1}, 0.03},
      {{"ammonia", 1}, {"citric-acid", -1}, 0.1}});
  All all;
  compare(salted_citrate(), conditions, "citrate", all);
  check_all(all, 1e-5);
}

TEST_CASE("the buffer capacity is the slope of the strong charge") {
  const Solution solution(salted_citrate());
  CHECK(1 / solution.by_strong_charge().ph == doctest::Approx(solution.buffer_capacity()).epsilon(1e-12));
}

TEST_CASE("a derivative by what is not there is refused") {
  const Solution solution(salted_citrate());
  CHECK_THROWS_AS(solution.by_amount(5), std::out_of_range);
  CHECK_THROWS_AS(solution.by_pK(3, 0), std::out_of_range);
  CHECK_THROWS_AS(solution.by_pK(0, 3), std::out_of_range);
}

TEST_CASE("a saturated component's amount moves nothing, with specific interactions too") {
  NeutralForm crystals;
  crystals.solubility = 0.0045;
  const std::vector<Amount> amounts{{Protolyte(0, {{4.2}}, "acid"), mol_per_kg(0.01), crystals},
                                    {StrongIon{"sodium", 1}, mol_per_kg(0.005)}};
  for (const Activity activity : {Activity::davies, Activity::specific_ion}) {
    const Solution solution(amounts, {.activity = activity});
    REQUIRE(solution.is_saturated(0));
    CHECK(std::abs(solution.by_amount(0).ph) <= 1e-3);
  }
}
