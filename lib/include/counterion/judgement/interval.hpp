// SPDX-License-Identifier: MIT
// Intervals on one line: what they share, which pairs do not meet, and where most of them hold.
#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <span>
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

/// A point that the most weight of intervals covers, and the intervals that it leaves out.
struct Cover {
  double low = 0;   ///< the stretch where that weight holds
  double high = 0;
  double weight = 0;
  std::vector<std::size_t> left_out;
};

/// One sweep over the sorted ends, O(n log n); the lowest stretch where several are equally good.
inline Cover heaviest_point(std::span<const Interval> intervals) {
  struct End {
    double at;
    bool closes;
    double weight;
  };
  std::vector<End> ends;
  for (const auto& i : intervals) {
    if (i.empty()) continue;
    ends.push_back({i.low, false, i.weight});
    ends.push_back({i.high, true, i.weight});
  }
  std::sort(ends.begin(), ends.end(), [](const End& a, const End& b) {
    return a.at != b.at ? a.at < b.at : a.closes < b.closes;
  });
  Cover best{-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(), 0, {}};
  double weight = 0;
  bool open = false;
  for (const auto& end : ends) {
    if (end.closes && open) best.high = end.at, open = false;
    weight += end.closes ? -end.weight : end.weight;
    if (!end.closes && weight > best.weight)
      best.low = end.at, best.weight = weight, best.high = end.at, open = true;
  }
  for (std::size_t i = 0; i < intervals.size(); ++i)
    if (!intervals[i].contains(best.low)) best.left_out.push_back(i);
  return best;
}

}  // namespace counterion
