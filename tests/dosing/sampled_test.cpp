// SPDX-License-Identifier: MIT
// Two ways to the same interval: draws of everything that is not sure, each solved, and first derivatives.
#include "../answers/samples.hpp"

#include <counterion/batch/sampled.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

TEST_CASE("draws and derivatives give the samples the same interval") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const auto phase = *water_phase_of(samples::sample(name), Tables::built_in());
    const auto derived = predict(phase);
    const auto sampled = sample_ph(phase);
    const double width = derived.p95 - derived.p05;
    CAPTURE(derived.p05);
    CAPTURE(derived.p95);
    CHECK(std::abs(sampled.quantile(0.05) - derived.p05) < 0.12 * width + 0.01);
    CHECK(std::abs(sampled.quantile(0.95) - derived.p95) < 0.12 * width + 0.01);
    CHECK(std::abs(sampled.quantile(0.5) - derived.ph) < 0.12 * width + 0.01);
  }
}

TEST_CASE("drivers") {
  const auto phase = *water_phase_of(samples::sample("hand-gel"), Tables::built_in());
  const auto derived = predict(phase, 50);
  MovedPhase moved(phase);
  for (std::size_t d = 0; d < phase.drivers.size(); ++d) {
    std::vector<double> u(phase.drivers.size(), 0.0);
    u[d] = 1.645; const double b = moved.ph_at(u);
    u[d] = -1.645; const double a = moved.ph_at(u);
    for (const auto& e : derived.drivers) if (e.what == phase.drivers[d].what)
      std::printf("%-70s %.3f %.3f | %.3f %.3f\n", e.what.c_str(), e.ph_low, e.ph_high, a, b);
  }
}
