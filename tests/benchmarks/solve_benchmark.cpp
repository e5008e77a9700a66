// SPDX-License-Identifier: MIT
// One solution at a time: a solve, a whole Solution, a titration curve, and how a solve grows.
#include "solutions.hpp"

#include <benchmark/benchmark.h>

using namespace benchmarks;
using namespace counterion;

namespace {

void solve_again_and_again(benchmark::State& state, const Prepared& prepared) {
  for (auto _ : state) benchmark::DoNotOptimize(prepared.ph());
  state.counters["pH"] = prepared.ph();
}

void six_acids_solve(benchmark::State& state) {
  const Prepared prepared(six_acids(), engine_conditions());
  require_same_ph(prepared.ph(), ph_of_six_acids);
  solve_again_and_again(state, prepared);
}
BENCHMARK(six_acids_solve);

void six_acids_solution(benchmark::State& state) {
  const auto amounts = six_acids();
  const auto conditions = engine_conditions();
  require_same_ph(Solution(amounts, conditions).ph().value(), ph_of_six_acids);
  for (auto _ : state) benchmark::DoNotOptimize(Solution(amounts, conditions));
}
BENCHMARK(six_acids_solution);

std::vector<pH> evenly_spaced(double first, double last, int count) {
  std::vector<pH> grid;
  for (int i = 0; i < count; ++i) grid.emplace_back(first + (last - first) * i / (count - 1));
  return grid;
}

void require_closed(const Solution& solution, const TitrationPoint& point) {
  const auto conditions = solution.conditions();
  const Solution titrated(six_acids_alone(), conditions, mol_per_kg(point.amount.value()));
  require_same_ph(titrated.ph().value(), point.ph.value());
}

void titration_curve_of_200_points(benchmark::State& state) {
  const Solution solution(six_acids_alone(), engine_conditions());
  const Additive lye{{{StrongIon{"sodium", 1}, mol_per_kg(1)}}};
  const auto grid = evenly_spaced(2, 12, 200);
  for (const auto& point : titration_curve(solution, lye, grid)) require_closed(solution, point);
  for (auto _ : state) benchmark::DoNotOptimize(titration_curve(solution, lye, grid));
}
BENCHMARK(titration_curve_of_200_points);

/// Ready to solve, and the same as a `Solution` finds.
Prepared prepared_and_checked(const std::vector<Amount>& amounts) {
  Prepared prepared(amounts, {});
  require_same_ph(prepared.ph(), Solution(amounts).ph().value());
  return prepared;
}

void protolytes_solve(benchmark::State& state) {
  solve_again_and_again(state, prepared_and_checked(protolytes(static_cast<std::size_t>(state.range()))));
}
BENCHMARK(protolytes_solve)->Arg(1)->Arg(2)->Arg(5)->Arg(10)->Arg(20)->Arg(40);

void gel_cream_solve(benchmark::State& state) {
  solve_again_and_again(state, prepared_and_checked(amounts_of(gel_cream())));
}
BENCHMARK(gel_cream_solve);

}  // namespace
