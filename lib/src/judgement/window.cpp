// SPDX-License-Identifier: MIT
#include <counterion/judgement/window.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// Least desirability: what a soft range or a hard edge leaves, so that one cannot erase all others.
constexpr double least_desirability = 0.01;
/// How far a target keeps off the edges where there is room (assumption: what a bench meter and a
/// careful adjustment hold).
constexpr double margin = 0.2;
/// Without a bound, desirability falls to nothing this far outside the ideal.
constexpr double falloff = 2;

/// 1 inside the ideal span, falling in a straight line to 0 at the bound.
double desirability(const WorkingRange& range, double ph) {
  const double low = range.minimum.value_or(range.ideal_low.value_or(-100) - falloff);
  const double high = range.maximum.value_or(range.ideal_high.value_or(200) + falloff);
  const double ideal_low = range.ideal_low.value_or(low), ideal_high = range.ideal_high.value_or(high);
  double value = 1;
  if (ph < ideal_low) value = ideal_low > low ? (ph - low) / (ideal_low - low) : 0;
  if (ph > ideal_high) value = high > ideal_high ? (high - ph) / (high - ideal_high) : 0;
  return std::max(value, least_desirability);
}

double overall_desirability(const std::vector<WorkingRange>& ranges, double ph) {
  double sum = 0;
  for (const auto& range : ranges) sum += std::log(desirability(range, ph));
  return ranges.empty() ? 1 : std::exp(sum / static_cast<double>(ranges.size()));
}

/// Best pH on a grid of 0.05 inside [low, high]; among equals the one nearest to `wish`.
double best_target(const std::vector<WorkingRange>& ranges, double low, double high, double wish) {
  const double room = std::min(margin, (high - low) / 4);
  low += room, high -= room;
  double best = 0.5 * (low + high), best_value = -1;
  const int first = static_cast<int>(std::ceil(low * 20 - 1e-9));
  const int last = static_cast<int>(std::floor(high * 20 + 1e-9));
  for (int k = first; k <= last; ++k) {
    const double ph = k / 20.0, value = overall_desirability(ranges, ph);
    const bool better = value > best_value + 1e-6;
    const bool nearer = value > best_value - 1e-6 && std::abs(ph - wish) < std::abs(best - wish);
    if (better || nearer) best = ph, best_value = std::max(value, best_value);
  }
  return best;
}

/// Ranges whose end lies at `at` (first) and at the next one beyond (second).
std::pair<std::vector<std::size_t>, std::vector<std::size_t>> bounds(
    const std::vector<WorkingRange>& ranges, bool low_side) {
  std::vector<std::pair<double, std::size_t>> ends;
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    const auto& end = low_side ? ranges[i].minimum : ranges[i].maximum;
    if (ranges[i].hard && end) ends.emplace_back(low_side ? -*end : *end, i);
  }
  std::sort(ends.begin(), ends.end());
  std::pair<std::vector<std::size_t>, std::vector<std::size_t>> result;
  for (const auto& [at, i] : ends) {
    if (at == ends.front().first) result.first.push_back(i);
    else if (result.second.empty() || at == ends[result.first.size()].first) result.second.push_back(i);
    else break;
  }
  return result;
}

}  // namespace

double Window::desirability(double ph) const { return overall_desirability(ranges, ph); }

Window window_of(std::vector<WorkingRange> ranges, std::optional<double> predicted) {
  Window window;
  window.ranges = std::move(ranges);
  std::vector<Interval> hard;
  std::vector<std::size_t> index;
  for (std::size_t i = 0; i < window.ranges.size(); ++i)
    if (window.ranges[i].hard) hard.push_back(window.ranges[i].interval()), index.push_back(i);

  const Interval common = intersection(hard);
  window.feasible = !common.empty();
  window.low = std::max(common.low, 0.0);
  window.high = std::min(common.high, 14.0);
  std::tie(window.low_bound_by, window.next_low) = bounds(window.ranges, true);
  std::tie(window.high_bound_by, window.next_high) = bounds(window.ranges, false);
  for (const auto& pair : disjoint_pairs(hard))
    window.conflicts.push_back({index[pair.below], index[pair.above], pair.gap});
  window.least_removal = heaviest_point(hard);
  for (auto& left : window.least_removal.left_out) left = index[left];
  if (window.feasible)
    window.target = best_target(window.ranges, window.low, window.high,
                                predicted.value_or(0.5 * (window.low + window.high)));
  return window;
}

}  // namespace counterion
