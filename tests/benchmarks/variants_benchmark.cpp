// SPDX-License-Identifier: MIT
// Many variants of six acids at once, and what memory that takes beside the caller's own arrays.
#include "solutions.hpp"

#include <benchmark/benchmark.h>
#include <counterion/chemistry/variants.hpp>

#include <algorithm>
#include <random>
#include <sys/resource.h>

using namespace benchmarks;
using namespace counterion;

namespace {

/// Six acids and their sodium, each molality up to so much more or less, and room for the answers.
class VariedAcids {
 public:
  explicit VariedAcids(std::size_t count, double spread = 0.1)
      : amounts_(six_acids()), molalities_(amounts_.size(), std::vector<double>(count)), ph_(count) {
    std::mt19937 source;
    std::uniform_real_distribution<double> factor(1 - spread, 1 + spread);
    for (std::size_t i = 0; i < amounts_.size(); ++i)
      for (double& molality : molalities_[i])
        molality = in_mol_per_kg(amounts_[i].molality) * factor(source);
  }

  void solve() {
    Variants variants(pattern_, ph_.size());
    for (std::size_t i = 0; i < molalities_.size(); ++i) variants.molality(i, molalities_[i]);
    solve_many(variants, ph_);
  }

  void require_as_alone(std::size_t variant) {
    for (std::size_t i = 0; i < amounts_.size(); ++i)
      amounts_[i].molality = mol_per_kg(molalities_[i][variant]);
    require_same_ph(ph_[variant], Solution(amounts_, engine_conditions()).ph().value());
  }

 private:
  std::vector<Amount> amounts_;
  std::vector<std::vector<double>> molalities_;
  std::vector<double> ph_;
  Solution pattern_{amounts_, engine_conditions()};
};

long peak_memory_kB() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss;
}

void variants_of_six_acids(benchmark::State& state) {
  const auto count = static_cast<std::size_t>(state.range());
  VariedAcids acids(count);
  acids.solve();
  for (std::size_t i = 0; i < count; i += std::max<std::size_t>(1, count / 50)) acids.require_as_alone(i);
  for (auto _ : state) acids.solve();
  state.SetItemsProcessed(state.iterations() * state.range());
}
BENCHMARK(variants_of_six_acids)->RangeMultiplier(10)->Range(1, 1000000);

void lanes_of_six_acids(benchmark::State& state) {
  VariedAcids acids(4096, 0.01 * static_cast<double>(state.range()));
  acids.solve();
  for (std::size_t i = 0; i < 4096; i += 40) acids.require_as_alone(i);
  for (auto _ : state) acids.solve();
}
BENCHMARK(lanes_of_six_acids)->ArgName("")->Arg(10)->Arg(90);

}  // namespace

namespace benchmarks {

long memory_for_variants_kB(std::size_t count) {
  VariedAcids acids(count);
  const long before = peak_memory_kB();
  acids.solve();
  return peak_memory_kB() - before;
}

}  // namespace benchmarks
