// SPDX-License-Identifier: MIT
// What one instruction set can do, to be compiled once for each.
#pragma once

#include "lane_solver.hpp"
#include "lane_titrator.hpp"

namespace counterion::chemistry {

/// Calls `work` with the first of as many places as a batch has, until all `count` are done; the last batch
/// does some again where the count is no multiple of it.
template <class Batch, class Work>
void in_batches(std::size_t count, Work&& work) {
  constexpr std::size_t width = Batch::size;
  for (std::size_t i = 0; i < count; i += width) work(i + width <= count ? i : count - width);
}

template <class Batch>
void solve_in_lanes(const LaneProblem& problem, std::size_t first, std::size_t count, LaneResults results) {
  LaneSolver<Batch> solver(problem);
  in_batches<Batch>(count, [&](std::size_t at) {
    solver.solve(first + at, {results.ph + at,
                              results.ionic_strength == nullptr ? nullptr : results.ionic_strength + at,
                              results.end + at});
  });
}

template <class Batch>
void titrate_in_lanes(const LaneTitration& titration, const double* ph, std::size_t count, double* amounts) {
  LaneTitrator<Batch> titrator(titration);
  in_batches<Batch>(count, [&](std::size_t at) { titrator.titrate(ph + at, amounts + at); });
}

}  // namespace counterion::chemistry
