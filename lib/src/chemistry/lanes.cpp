// SPDX-License-Identifier: MIT
#include "lanes.hpp"

#include <counterion/chemistry/model_choice.hpp>

namespace counterion::chemistry {
namespace {

LaneLadder lane_ladder(const Dissolved& part) {
  LaneLadder ladder{part.ladder.charge, {part.molality}, part.neutral, {}};
  ladder.K.reserve(part.ladder.K.size());
  for (const double K : part.ladder.K) ladder.K.push_back({K});
  return ladder;
}

}  // namespace

LaneProblem lane_problem(const Mixture& mixture, const ModelChoice& choice) {
  LaneProblem problem;
  problem.ladders.reserve(mixture.protolytes.size());
  for (const auto& part : mixture.protolytes) problem.ladders.push_back(lane_ladder(part));
  for (const auto& part : mixture.polymers)
    problem.polymers.push_back({part.polymer, {part.molality}, {part.polymer.pK0}});
  for (const auto& ion : mixture.ions) problem.ions.push_back({ion.charge, {ion.molality}});
  problem.water = choice.water;
  problem.ideal = choice.activity == Activity::ideal;
  problem.davies_held_beyond = choice.davies_held_beyond;
  const Reach reach(mixture);
  problem.least_charge = reach.least, problem.largest_charge = reach.largest, problem.is_plain = reach.is_plain;
  return problem;
}

bool are_fit_for_lanes(const ModelChoice& choice, std::initializer_list<const Mixture*> mixtures) {
  if (choice.activity != Activity::davies && choice.activity != Activity::ideal) return false;
  for (const auto* mixture : mixtures)
    for (const auto& part : mixture->protolytes)
      if (part.ladder.largest_charge() > ChargePowers<double>::most) return false;
  return true;
}

std::vector<LaneKernel> lane_kernels() {
  std::vector<LaneKernel> kernels;
#ifdef COUNTERION_X86_KERNELS
  if (__builtin_cpu_supports("avx512f")) kernels.push_back(avx512_lanes());
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) kernels.push_back(avx2_lanes());
#endif
#ifdef COUNTERION_BASELINE_KERNEL
  kernels.push_back(baseline_lanes());
#endif
  return kernels;
}

const LaneKernel* fastest_kernel() {
  static const std::vector<LaneKernel> kernels = lane_kernels();
  return kernels.empty() ? nullptr : &kernels.front();
}

}  // namespace counterion::chemistry
