// SPDX-License-Identifier: MIT
// Intervals on one line: what they share, which pairs do not meet, and where most of them hold.
#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace counterion {

/// A closed span of pH with a weight; an open end is infinite.
struct Interval {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  double weight = 1;
  bool contains(double ph) const noexcept { return low <= ph && ph <= high; }
  bool empty() const noexcept { return low > high; }
};

/// What all of them share; empty() when they share nothing. Without intervals it is the whole line.
inline Interval intersection(std::span<const Interval> intervals) {
  Interval common;
  for (const auto& i : intervals) {
    common.low = std::max(common.low, i.low);
    common.high = std::min(common.high, i.high);
  }
  return common;
}

/// Two intervals that do not meet: `below` ends where `gap` begins, `above` begins where it ends.
struct DisjointPair {
  std::size_t below = 0;
  std::size_t above = 0;
  double gap = 0;
};

/// Every pair without a common point, widest gap first. On a line a family has a common point exactly
/// when every two of its members have one (Helly 1923), so an empty intersection always has a pair.
inline std::vector<DisjointPair> disjoint_pairs(std::span<const Interval> intervals) {
  std::vector<DisjointPair> pairs;
  for (std::size_t a = 0; a < intervals.size(); ++a)
    for (std::size_t b = 0; b < intervals.size(); ++b)
      if (intervals[a].high < intervals[b].low)
        pairs.push_back({a, b, intervals[b].low - intervals[a].high});
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const auto& p, const auto& q) { return p.gap > q.gap; });
  return pairs;
}

/// How many pairs have no common point, without listing them: O(n log n).
inline std::size_t count_disjoint_pairs(std::span<const Interval> intervals) {
  std::vector<double> highs;
  for (const auto& i : intervals) highs.push_back(i.high);
  std::ranges::sort(highs);
  std::size_t pairs = 0;
  for (const auto& i : intervals)
    pairs += static_cast<std::size_t>(std::ranges::lower_bound(highs, i.low) - highs.begin());
  return pairs;
}

/// The pair that lies furthest apart; none where all of them meet. O(n).
inline std::optional<DisjointPair> widest_gap(std::span<const Interval> intervals) {
  if (intervals.empty()) return std::nullopt;
  const auto lowest = std::ranges::min_element(intervals, {}, &Interval::high);
  const auto highest = std::ranges::max_element(intervals, {}, &Interval::low);
  if (lowest->high >= highest->low) return std::nullopt;
  return DisjointPair{static_cast<std::size_t>(lowest - intervals.begin()),
                      static_cast<std::size_t>(highest - intervals.begin()), highest->low - lowest->high};
}

/// A stretch of the line and the weight of the intervals that cover it.
struct Stretch {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  double weight = 0;
};

/// Calls `at_peak(stretch)` for every stretch that a set of intervals covers together to which no other
/// can be added, from low to high: one sweep over the sorted ends, O(n log n).
template <class AtPeak>
void for_each_peak(std::span<const Interval> intervals, AtPeak&& at_peak) {
  using End = std::pair<double, double>;  // where, weight
  std::vector<End> lows, highs;
  for (const auto& i : intervals) {
    if (i.empty()) continue;
    lows.emplace_back(i.low, i.weight);
    highs.emplace_back(i.high, i.weight);
  }
  std::ranges::sort(lows, {}, &End::first);
  std::ranges::sort(highs, {}, &End::first);
  double weight = 0;
  auto high = highs.begin();
  for (auto low = lows.begin(); low != lows.end();) {
    for (; high->first < low->first; ++high) weight -= high->second;
    for (; low != lows.end() && low->first <= high->first; ++low) weight += low->second;
    at_peak(Stretch{std::prev(low)->first, high->first, weight});
  }
}

/// Every such stretch, from low to high. What one leaves out is what any pH in it leaves out; a pH that
/// is in none of them leaves out no less than one of its neighbours, so the list is a proof of which
/// removal is the least.
inline std::vector<Stretch> peaks(std::span<const Interval> intervals) {
  std::vector<Stretch> all;
  for_each_peak(intervals, [&](const Stretch& peak) { all.push_back(peak); });
  return all;
}

/// A point that the most weight of intervals covers, and the intervals that it leaves out.
struct Cover : Stretch {
  std::vector<std::size_t> left_out;
};

/// Indices of the intervals that do not hold a stretch, from low to high.
inline std::vector<std::size_t> left_out_of(const Stretch& stretch, std::span<const Interval> intervals) {
  std::vector<std::size_t> left;
  for (std::size_t i = 0; i < intervals.size(); ++i)
    if (!(intervals[i].low <= stretch.low && stretch.high <= intervals[i].high)) left.push_back(i);
  return left;
}

/// The stretch of most weight, the lowest where several are equally good; without any interval that
/// is not empty the whole line, with weight 0. O(n log n).
inline Cover heaviest_point(std::span<const Interval> intervals) {
  Cover best;
  for_each_peak(intervals, [&](const Stretch& peak) {
    if (peak.weight > best.weight) static_cast<Stretch&>(best) = peak;
  });
  best.left_out = left_out_of(best, intervals);
  return best;
}

}  // namespace counterion
