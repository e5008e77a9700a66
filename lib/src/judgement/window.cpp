// SPDX-License-Identifier: MIT
#include <counterion/judgement/window.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace counterion {
namespace {

/// Least desirability: what a soft range or a hard edge leaves, so that one cannot erase all others.
constexpr double least_desirability = 0.01;
/// Without a bound, desirability falls to nothing this far outside the ideal.
constexpr double falloff = 2;
/// A firm core narrower than this is no place to aim at: the whole window is searched.
constexpr double least_core = 0.2;
/// Of what nobody can leave out: the law, the kind of product.
constexpr double fixed_weight = 1e6;

Interval span_of(const std::optional<double>& minimum, const std::optional<double>& maximum) {
  Interval span;
  if (minimum) span.low = *minimum;
  if (maximum) span.high = *maximum;
  return span;
}

/// The ideal span as far as all sources agree that the range holds there at all.
Interval agreed_ideal(const WorkingRange& range, double low, double high) {
  const Interval ideal{range.ideal_low.value_or(low), range.ideal_high.value_or(high)};
  if (range.others.empty()) return ideal;
  const Interval agreed = intersection(std::vector{ideal, range.firm()});
  return agreed.empty() ? ideal : agreed;
}

/// 1 inside the ideal span, falling in a straight line to 0 at the bound.
double desirability(const WorkingRange& range, double ph) {
  const double low = range.minimum.value_or(range.ideal_low.value_or(-100) - falloff);
  const double high = range.maximum.value_or(range.ideal_high.value_or(200) + falloff);
  const Interval ideal = agreed_ideal(range, low, high);
  double value = 1;
  if (ph < ideal.low) value = ideal.low > low ? (ph - low) / (ideal.low - low) : 0;
  if (ph > ideal.high) value = high > ideal.high ? (high - ph) / (high - ideal.high) : 0;
  return std::max(value, least_desirability);
}

double overall_desirability(const std::vector<WorkingRange>& ranges, double ph) {
  double sum = 0;
  for (const auto& range : ranges) sum += std::log(desirability(range, ph));
  return ranges.empty() ? 1 : std::exp(sum / static_cast<double>(ranges.size()));
}

/// What is left of [low, high] off both edges: by what meter and dosing may do, at most a quarter of it on each side,
/// then by what the product moves while it is kept, as far as there is room for it.
Interval off_the_edges(double low, double high, const Margin& margin) {
  const double tools = std::min(margin.meter + margin.dosing, (high - low) / 4);
  const double room = high - low - 2 * tools, moves = margin.fall + margin.rise;
  const double share = moves > room ? room / moves : 1;
  return {low + tools + share * margin.fall, high - tools - share * margin.rise};
}

/// Best pH on a grid of 0.05 inside [low, high], off both edges by what may happen; among equals the one nearest to
/// `wish`.
double best_target(const std::vector<WorkingRange>& ranges, double low, double high, const Margin& margin, double wish) {
  const Interval left = off_the_edges(low, high, margin);
  low = left.low, high = left.high;
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

/// The hard ranges as intervals, and which range each of them is.
struct Family {
  std::vector<Interval> intervals;
  std::vector<std::size_t> range;

  explicit Family(const std::vector<WorkingRange>& ranges) {
    for (std::size_t i = 0; i < ranges.size(); ++i)
      if (ranges[i].hard) intervals.push_back(ranges[i].interval()), range.push_back(i);
  }
};

void name_conflicts(const Family& family, Window& window) {
  const auto add = [&](const DisjointPair& pair) {
    window.conflicts.push_back({family.range[pair.below], family.range[pair.above], pair.gap});
  };
  window.conflict_count = count_disjoint_pairs(family.intervals);
  if (family.intervals.size() <= most_ranges_paired)
    for (const auto& pair : disjoint_pairs(family.intervals)) add(pair);
  else if (const auto widest = widest_gap(family.intervals))
    add(*widest);
}

/// What goes together when it goes: all ranges of the same lines.
struct Belonging {
  Interval common;
  std::vector<std::size_t> ranges;
};

double weight_of(const std::vector<std::size_t>& items, const Weights& weights) {
  double least = items.empty() ? fixed_weight : std::numeric_limits<double>::infinity();
  for (const std::size_t item : items) least = std::min(least, item < weights.size() ? weights[item] : 1.0);
  return least;
}

std::vector<Belonging> belongings(const Family& family, const std::vector<WorkingRange>& ranges,
                                  const Weights& weights) {
  std::map<std::vector<std::size_t>, Belonging> by_items;
  for (std::size_t k = 0; k < family.range.size(); ++k) {
    const auto& items = ranges[family.range[k]].items;
    auto& one = by_items[items];
    one.common = intersection(std::vector{one.common, family.intervals[k]});
    one.common.weight = weight_of(items, weights);
    one.ranges.push_back(family.range[k]);
  }
  std::vector<Belonging> all;
  for (auto& [items, one] : by_items) all.push_back(std::move(one));
  return all;
}

/// Every way to leave out just enough, least weight first, the lowest pH first among equals.
std::vector<Removal> ways_out(const std::vector<Belonging>& all) {
  std::vector<Interval> intervals;
  double total = 0;
  for (const auto& one : all) intervals.push_back(one.common), total += one.common.weight;
  std::vector<Removal> ways;
  for (const auto& peak : peaks(intervals)) {
    Removal way{peak.low, peak.high, total - peak.weight, {}};
    for (const std::size_t k : left_out_of(peak, intervals))
      way.left_out.insert(way.left_out.end(), all[k].ranges.begin(), all[k].ranges.end());
    std::ranges::sort(way.left_out);
    ways.push_back(std::move(way));
  }
  std::ranges::stable_sort(ways, {}, &Removal::weight);
  return ways;
}

std::optional<Interval> on_the_scale(Interval common) {
  common.low = std::max(common.low, 0.0);
  common.high = std::min(common.high, 14.0);
  return common.empty() ? std::nullopt : std::optional(common);
}

/// The firm core and the widest span that some source defends.
void add_disputed(Window& window) {
  std::vector<Interval> firm, widest;
  for (const auto& range : window.ranges)
    if (range.hard) firm.push_back(range.firm()), widest.push_back(range.widest());
  window.firm = on_the_scale(intersection(firm));
  window.widest = on_the_scale(intersection(widest));
}

}  // namespace

Interval WorkingRange::interval() const { return span_of(minimum, maximum); }

Interval WorkingRange::firm() const {
  Interval span = interval();
  for (const auto& other : others) span = intersection(std::vector{span, span_of(other.minimum, other.maximum)});
  return span;
}

Interval WorkingRange::widest() const {
  Interval span = interval();
  for (const auto& other : others) {
    if (other.minimum) span.low = std::min(span.low, *other.minimum);
    if (other.maximum) span.high = std::max(span.high, *other.maximum);
  }
  return span;
}

double Window::desirability(double ph) const { return overall_desirability(ranges, ph); }

Weights weights_of(const Formula& formula, const Tables& tables) {
  Weights weights;
  for (const auto& item : formula.items) {
    const auto* ingredient = item.listed() ? tables.ingredient(item.ingredient) : nullptr;
    const auto is = [&](std::string_view function) { return ingredient && has_function(*ingredient, function); };
    weights.push_back(ingredient && tables.covers("uv-filter", ingredient->id) ? 4 : is("active") ? 3 : is("preservative") ? 2 : 1);
  }
  return weights;
}

Window window_of(std::vector<WorkingRange> ranges, std::optional<double> predicted, const Margin& margin,
                 const Weights& weights) {
  Window window;
  window.ranges = std::move(ranges);
  window.margin = margin;
  const Family family(window.ranges);
  const Interval common = intersection(family.intervals);
  window.feasible = !common.empty();
  window.low = std::max(common.low, 0.0);
  window.high = std::min(common.high, 14.0);
  add_disputed(window);
  std::tie(window.low_bound_by, window.next_low) = bounds(window.ranges, true);
  std::tie(window.high_bound_by, window.next_high) = bounds(window.ranges, false);
  if (window.feasible) {
    const Interval aim_in = window.firm && window.firm->high - window.firm->low >= least_core
                                ? *window.firm : Interval{window.low, window.high};
    window.target = best_target(window.ranges, aim_in.low, aim_in.high, margin,
                                predicted.value_or(0.5 * (window.low + window.high)));
  } else {
    name_conflicts(family, window);
    window.removals = ways_out(belongings(family, window.ranges, weights));
  }
  return window;
}

}  // namespace counterion
