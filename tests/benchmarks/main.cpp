// SPDX-License-Identifier: MIT
// Google Benchmark's own main, with what the report says of the program and its memory.
#include <benchmark/benchmark.h>
#include <counterion/chemistry/variants.hpp>

#include <string>

namespace benchmarks {
/// Peak memory while so many variants are solved, beyond the caller's arrays; ask in rising order.
long memory_for_variants_kB(std::size_t count);
}  // namespace benchmarks

int main(int count, char** arguments) {
  for (const std::size_t variants : {100000, 1000000})
    benchmark::AddCustomContext("memory_kB/" + std::to_string(variants),
                                std::to_string(benchmarks::memory_for_variants_kB(variants)));
  benchmark::AddCustomContext("compiler", COUNTERION_COMPILER);
  benchmark::AddCustomContext("flags", COUNTERION_FLAGS);
  benchmark::AddCustomContext("lanes", std::string(counterion::lanes_in_use()));
  benchmark::Initialize(&count, arguments);
  if (benchmark::ReportUnrecognizedArguments(count, arguments)) return 2;
  benchmark::RunSpecifiedBenchmarks();
}
