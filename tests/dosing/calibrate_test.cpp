// SPDX-License-Identifier: MIT
#include "../answers/samples.hpp"

#include <counterion/batch/calibrate.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>

using namespace counterion;

TEST_CASE("try") {
  { const auto formula = samples::sample("brightening-serum");
    std::vector<BatchReading> readings{{8.0, {}, {}}};
    auto c = calibrate(formula, readings, Tables::built_in());
    auto a = charge_at(*c.phase, 8.0), b = charge_at(*c.phase, 8.7);
    std::printf("%g %g cap %g\n", a.charge*1000, b.charge*1000, a.capacity*1000); auto sp=charge_spread_at(*c.phase, 8.0); std::printf("spread %g %g\n",sp.below*1000,sp.above*1000);
   for (auto& v : c.phase->learned) { double n=0,g=0,gg=0; for (std::size_t d=0;d<v.size();++d) {n+=v[d]*v[d]; g+=v[d]*a.slopes[d]; gg+=a.slopes[d]*a.slopes[d];} std::printf("norm %.6f along %g of %g\n", n, 1000*g, 1000*std::sqrt(gg)); }
    for (std::size_t d = 0; d < a.slopes.size(); ++d) if (std::abs(b.slopes[d])>1e-5) std::printf("%-70s %8.3f %8.3f\n", c.phase->drivers[d].what.c_str(), 1000*a.slopes[d], 1000*b.slopes[d]);
  }
  for (const auto& name : samples::names) {
    const auto formula = samples::sample(name);
    const auto own = predict(*water_phase_of(formula, Tables::built_in()));
    std::printf("%s %.2f (%.2f %.2f) cap %.4f\n", name.c_str(), own.ph, own.p05, own.p95, own.buffer_capacity);
    for (double off : {-0.4, 0.0, 0.4}) {
      std::vector<BatchReading> readings{{own.ph + off, {}, {}}};
      auto c = calibrate(formula, readings, Tables::built_in());
      auto p = predict(*c.phase);
      std::printf("  read %.2f surprise %.2f -> %.3f (%.3f %.3f) unexplained %.2f (%.2f %.2f) buffer %.2f (%.2f %.2f)\n", own.ph + off,
        c.readings[0].surprise, p.ph, p.p05, p.p95, c.unexplained_meq_per_kg.value, c.unexplained_meq_per_kg.low, c.unexplained_meq_per_kg.high,
        c.extra_buffer_mmol_per_kg.value, c.extra_buffer_mmol_per_kg.low, c.extra_buffer_mmol_per_kg.high);
      const auto s = charge_spread_at(*c.phase, p.ph - 1), s0 = charge_spread_at(*water_phase_of(formula, Tables::built_in()), p.ph - 1);
      std::printf("     spread one below: %.2f %.2f meq, before %.2f %.2f\n", 1000*s.below, 1000*s.above, 1000*s0.below, 1000*s0.above);
    }
  }
}
