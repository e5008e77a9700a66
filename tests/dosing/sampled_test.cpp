// SPDX-License-Identifier: MIT
// Two ways to the same interval: draws of everything that is not sure, each solved, and first
// derivatives.
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
