// SPDX-License-Identifier: MIT
#include "ruler.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

constexpr std::size_t most_bars = 6, most_pairs = 3, figure_columns = 14, longest_condition = 50;

void add_once(std::vector<std::size_t>& indices, std::size_t index) {
  if (indices.size() < most_bars && !std::count(indices.begin(), indices.end(), index))
    indices.push_back(index);
}

/// Soft ranges that the target leaves.
std::vector<std::size_t> given_up(const CheckResult& result) {
  std::vector<std::size_t> indices;
  for (std::size_t i = 0; i < result.window.ranges.size(); ++i) {
    const auto& range = result.window.ranges[i];
    if (!range.hard && result.target && !range.interval().contains(*result.target))
      indices.push_back(i);
  }
  return indices;
}

/// The ranges that bind, that conflict or nearly bind, and soft ones that are given up.
std::vector<std::size_t> ranges_to_draw(const CheckResult& result) {
  const Window& window = result.window;
  std::vector<std::size_t> indices;
  if (window.feasible) {
    for (const auto* edge : {&window.low_bound_by, &window.high_bound_by})
      for (std::size_t k = 0; k < std::min<std::size_t>(edge->size(), 2); ++k)
        add_once(indices, (*edge)[k]);
    for (const auto* edge : {&window.next_low, &window.next_high})
      if (!edge->empty()) add_once(indices, edge->front());
  }
  for (std::size_t k = 0; k < std::min(window.conflicts.size(), most_pairs); ++k) {
    add_once(indices, window.conflicts[k].a);
    add_once(indices, window.conflicts[k].b);
  }
  for (const std::size_t i : given_up(result)) add_once(indices, i);
  return indices;
}

/// Grows to take in a pH.
struct Extent {
  double low = 20, high = -20;
  void take(const std::optional<double>& ph) {
    if (ph) low = std::min(low, *ph), high = std::max(high, *ph);
  }
};

Extent extent_of(const CheckResult& result, const std::vector<std::size_t>& drawn) {
  Extent extent;
  for (const std::size_t i : drawn) {
    extent.take(result.window.ranges[i].minimum);
    extent.take(result.window.ranges[i].maximum);
  }
  extent.take(result.target);
  if (result.prediction) extent.take(result.prediction->p05), extent.take(result.prediction->p95);
  if (extent.low > extent.high) extent = {4, 8};
  return extent;
}

Scale scale_for(const Extent& extent, std::size_t room) {
  Scale scale;
  scale.low = std::clamp(static_cast<int>(std::floor(extent.low - 0.4)), 0, 12);
  scale.high = std::clamp(static_cast<int>(std::ceil(extent.high + 0.4)), scale.low + 2, 14);
  const auto units = static_cast<std::size_t>(scale.high - scale.low);
  scale.columns_per_unit = std::clamp<std::size_t>((room - 1) / units, 1, 8);
  return scale;
}

std::string bar_name(const CheckResult& result, const WorkingRange& range) {
  const std::string name = range_name(result, range);
  return range.hard ? name : name + " (wish)";
}

void draw(Page& page, const std::vector<std::size_t>& drawn) {
  const CheckResult& result = page.result;
  const Window& window = result.window;
  const std::size_t name_columns = std::min<std::size_t>(30, page.width() / 3);
  const std::size_t room = page.width() - name_columns - 3 - 2 - figure_columns;
  Ruler ruler(page, scale_for(extent_of(result, drawn), room), name_columns);
  ruler.axis();
  for (const std::size_t i : drawn) {
    const auto& range = window.ranges[i];
    ruler.bar(bar_name(result, range), range.minimum, range.maximum, range.hard,
              span_text(range.minimum, range.maximum));
  }
  if (window.feasible)
    ruler.band("suits everything", window.low, window.high, span_text(window.low, window.high));
  if (const auto& p = result.prediction)
    ruler.interval("predicted", p->p05, p->ph, p->p95,
                   ph_text(p->p05, *p) + " to " + ph_text(p->p95, *p));
  if (result.target) ruler.mark("aim", *result.target, ph_text(*result.target));
}

std::string reason(Page& page, const WorkingRange& range) {
  std::string text = fmt::format("{}: {}", range_name(page.result, range), range.why);
  if (!range.condition.empty() && (page.style.all || range.condition.size() <= longest_condition))
    text += " (" + range.condition + ")";
  return text + page.cite(range.source, range.row_id);
}

void say_edge(Page& page, std::string_view label, const std::vector<std::size_t>& indices) {
  std::vector<std::string> reasons;
  for (const std::size_t i : indices) {
    if (reasons.size() == 2 && !page.style.all) break;
    reasons.push_back(reason(page, page.result.window.ranges[i]));
  }
  if (indices.size() > reasons.size())
    reasons.push_back(fmt::format("{} more", indices.size() - reasons.size()));
  if (!reasons.empty())
    page.paragraph(fmt::format("{} {}", label, fmt::join(reasons, "; ")), 2, 4);
}

/// Whether another source binds the firm core at an edge.
bool binds(const OtherBounds& other, const Interval& firm, const Window& window) {
  const bool low = other.minimum && firm.low > window.low + 1e-9 && *other.minimum >= firm.low - 1e-9;
  const bool high = other.maximum && firm.high < window.high - 1e-9 && *other.maximum <= firm.high + 1e-9;
  return low || high;
}

/// Where sources contradict one another: the firm core, and who narrows it.
void say_disputed(Page& page) {
  const Window& window = page.result.window;
  if (window.firm && window.firm->low <= window.low + 1e-9 && window.firm->high >= window.high - 1e-9) return;
  std::vector<std::string> who;
  const Interval firm = window.firm.value_or(Interval{window.high, window.low});
  for (const auto& range : window.ranges)
    for (const auto& other : range.others)
      if (range.hard && binds(other, firm, window))
        who.push_back(fmt::format("{} {}{}", range_name(page.result, range), span_text(other.minimum, other.maximum),
                                  page.cite(other.source, other.row_id)));
  const std::string where = window.firm ? "pH " + span_text(window.firm->low, window.firm->high) : "nowhere";
  if (who.empty() && !window.firm) return;
  page.paragraph(fmt::format("All sources agree {}{}; the rest is disputed: {}.", window.firm ? "on " : "", where,
                             joined(who)), 2, 4);
}

void say_edges(Page& page) {
  const Window& window = page.result.window;
  say_edge(page, "Not below " + ph_text(window.low) + ":", window.low_bound_by);
  say_edge(page, "Not above " + ph_text(window.high) + ":", window.high_bound_by);
  say_disputed(page);
  for (const std::size_t i : given_up(page.result))
    page.paragraph("Given up: " + reason(page, window.ranges[i]), 2, 4);
}

void say_conflict(Page& page, const Conflict& conflict) {
  const auto& below = page.result.window.ranges[conflict.a];
  const auto& above = page.result.window.ranges[conflict.b];
  page.paragraph(fmt::format("{} goes up to pH {}, {} begins at {}: {} apart.",
                             range_name(page.result, below), ph_text(*below.maximum),
                             range_name(page.result, above), ph_text(*above.minimum),
                             ph_text(conflict.gap)), 2, 4);
}

std::optional<double> if_finite(double ph) { return std::isfinite(ph) ? std::optional(ph) : std::nullopt; }

std::string left_out(const CheckResult& result, const Removal& removal) {
  std::vector<std::string> names;
  for (const std::size_t i : removal.left_out) {
    const std::string name = range_name(result, result.window.ranges[i]);
    if (!std::count(names.begin(), names.end(), name)) names.push_back(name);
  }
  return joined(names);
}

/// Why the aim is not in the middle: the product is expected to move while it is kept.
void say_drift(Page& page) {
  constexpr double worth_saying = 0.1;
  const Window& window = page.result.window;
  const bool rises = window.margin.rise >= window.margin.fall;
  if (!window.target || window.margin.drift < worth_saying || page.result.options.target) return;
  page.paragraph(fmt::format("The aim keeps off the {} edge: in two years at 25 °C the pH is expected to {} by "
                             "about {:.1f} (counterion predict says why).",
                             rises ? "upper" : "lower", rises ? "rise" : "fall", window.margin.drift), 2, 4);
}

/// What nobody can leave out: the kind of product.
bool keeps_the_product(const CheckResult& result, const Removal& removal) {
  return std::ranges::none_of(removal.left_out, [&](std::size_t i) { return result.window.ranges[i].items.empty(); });
}

/// Whether a way leaves nothing of the preservatives that are in it.
bool loses_preservation(const CheckResult& result, const Removal& removal) {
  const auto& system = result.preservation;
  std::vector<std::size_t> lines;
  for (const auto& state : system.acids) lines.insert(lines.end(), state.items.begin(), state.items.end());
  for (const auto& other : system.others) lines.push_back(other.item);
  return !lines.empty() && std::ranges::all_of(lines, [&](std::size_t line) {
    return std::ranges::any_of(removal.left_out, [&](std::size_t i) {
      const auto& items = result.window.ranges[i].items;
      return std::ranges::find(items, line) != items.end();
    });
  });
}

/// Every way out, least first; that no other is less is seen from the list.
void say_ways_out(Page& page) {
  const auto& removals = page.result.window.removals;
  std::vector<std::string> ways;
  for (const auto& removal : removals)
    if (keeps_the_product(page.result, removal) && (ways.size() < most_pairs || page.style.all))
      ways.push_back(fmt::format("without {}{} pH {} suits the rest", left_out(page.result, removal),
                                 loses_preservation(page.result, removal) ? " (nothing would preserve it then)" : "",
                                 span_text(if_finite(removal.low), if_finite(removal.high))));
  if (ways.empty()) return;
  page.paragraph(fmt::format("{}: {}.", ways.size() > 1 ? "The least to leave out, then the next" : "The least to leave out",
                             fmt::join(ways, "; ")), 2, 4);
}

/// A pH that the best sources exclude and others allow.
void say_hope(Page& page) {
  const auto& widest = page.result.window.widest;
  if (!widest) return;
  page.paragraph(fmt::format("Sources differ: by the widest span of each, pH {} would do.",
                             span_text(widest->low, widest->high)), 2, 4);
}

void say_conflicts(Page& page) {
  const Window& window = page.result.window;
  const std::size_t most = page.style.all ? window.conflicts.size() : most_pairs;
  std::vector<std::size_t> involved;
  for (std::size_t k = 0; k < std::min(window.conflicts.size(), most); ++k) {
    say_conflict(page, window.conflicts[k]);
    add_once(involved, window.conflicts[k].a);
    add_once(involved, window.conflicts[k].b);
  }
  const std::size_t shown = std::min(window.conflicts.size(), most);
  if (window.conflict_count > shown)
    page.paragraph(fmt::format("{} more pairs{}", window.conflict_count - shown, page.style.all ? "" : ": --all"));
  for (const std::size_t i : involved) page.paragraph(reason(page, window.ranges[i]), 2, 4);
  say_ways_out(page);
  say_hope(page);
}

}  // namespace

void say_window(Page& page) {
  const Window& window = page.result.window;
  if (window.ranges.empty() || !page.result.prediction) return;
  page.heading(window.feasible ? "Window" : "Conflict");
  draw(page, ranges_to_draw(page.result));
  if (window.feasible) say_edges(page), say_drift(page);
  else say_conflicts(page);
}

}  // namespace counterion::report
