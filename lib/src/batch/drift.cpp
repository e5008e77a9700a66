// SPDX-License-Identifier: MIT
#include <counterion/batch/drift.hpp>

namespace counterion {

Drift drift_of(const Formula&, const WaterPhase&, const Tables&, const DriftOptions&) { return {}; }
WaterPhase aged_phase(const Formula&, WaterPhase phase, const Tables&, double, double) { return phase; }
Leaves leaves(const Drift&, double, double) { return {}; }

}  // namespace counterion
