// SPDX-License-Identifier: MIT
// How long a name takes to be found, or the nearest to one that nobody has.
#include <benchmark/benchmark.h>
#include <counterion/tables/tables.hpp>

using counterion::Tables;

namespace {

void name_found(benchmark::State& state) {
  const auto& tables = Tables::built_in();
  for (auto _ : state) benchmark::DoNotOptimize(tables.find("Sodium Benzoate"));
}
BENCHMARK(name_found);

void nearest_names(benchmark::State& state) {
  const auto& tables = Tables::built_in();
  for (auto _ : state) benchmark::DoNotOptimize(tables.nearest_names("sodim benzoat"));
}
BENCHMARK(nearest_names);

}  // namespace
