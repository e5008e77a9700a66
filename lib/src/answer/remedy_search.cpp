// SPDX-License-Identifier: MIT
#include "remedy_search.hpp"

#include <counterion/dosing/amounts.hpp>

#include <algorithm>
#include <map>
#include <queue>
#include <set>

namespace counterion::remedy {
namespace {

/// Formulas that are judged in one search at most, and changes in one remedy.
constexpr std::size_t most_tries = 24, most_changes = 3;
/// Remedies of one kind for one line.
constexpr std::size_t most_alike = 2;
/// What a new caution adds to the price of a remedy (assumption).
constexpr double caution_price = 1;
/// What it costs to make two products of one (assumption).
constexpr double splitting_price = 7;
/// What nobody can leave out weighs at least this.
constexpr double fixed = 1e5;

std::set<std::string> keys_of(const std::vector<Trouble>& troubles) {
  std::set<std::string> keys;
  for (const auto& trouble : troubles) keys.insert(trouble.key);
  return keys;
}

/// How much there is against microorganisms: 1 is enough by the figures there are.
double strength(const Preservation& preservation) {
  double most = 0;
  for (const auto& state : preservation.acids) most = std::max(most, state.least_active ? state.fraction() : 1.0);
  if (preservation.combined_at_target) most = std::max(most, *preservation.combined_at_target);
  for (const auto& other : preservation.others)
    if (other.enough()) most = 1;
  return std::min(most, 1.0);
}

std::ptrdiff_t gaps(const Preservation& preservation) {
  return std::ranges::count_if(preservation.spectrum, [](const Coverage& c) { return c.items.empty(); });
}

/// A chain of changes and the formula that it makes.
struct Chain {
  std::vector<Change> changes;
  Formula formula;
  double cost = 0;
  std::string group;              ///< of the last change
  std::string ended;              ///< key of the trouble that the last change is meant to end
  std::set<std::string> allowed;  ///< keys of the troubles before it
  bool operator>(const Chain& other) const { return cost > other.cost; }
};

/// Best-first search over chains of changes.
class Search {
 public:
  Search(const Judged& before, const Asked& asked) : before_(before), asked_(asked) {}

  std::vector<Remedy> run(const Formula& formula) {
    extend({{}, formula, 0, {}, {}, {}}, before_);
    for (std::size_t tries = 0; tries < most_tries && !open_.empty(); ++tries) {
      const Chain chain = open_.top();
      open_.pop();
      look_at(chain);
    }
    return best_of_each();
  }

 private:
  void extend(const Chain& chain, const Judged& judged) {
    const auto troubles = troubles_of(chain.formula, judged, asked_.tables);
    if (troubles.empty() || chain.changes.size() >= most_changes) return;
    const Trouble& first = troubles.front();
    for (auto& priced : changes_for(chain.formula, judged, first, asked_)) {
      if (touches(chain, priced.change)) continue;
      auto changed = with_change(chain.formula, priced.change);
      if (!changed) continue;
      Chain longer{chain.changes, std::move(*changed), chain.cost + priced.cost, chain.group + '+' + priced.group,
                   first.key, keys_of(troubles)};
      longer.changes.push_back(std::move(priced.change));
      open_.push(std::move(longer));
    }
  }
  /// What has been changed once is not changed again.
  static bool touches(const Chain& chain, const Change& change) {
    return std::ranges::any_of(chain.changes, [&](const Change& done) {
      return std::ranges::find_first_of(done.items, change.items) != done.items.end();
    });
  }
  void look_at(const Chain& chain) {
    const Judged judged = judged_anew(chain.formula, asked_, Sureness::left_aside);
    if (passes(chain.formula, judged, before_, asked_.tables)) {
      found_.push_back(chain);
      found_.back().cost += caution_price * std::max(0.0, cautions(judged) - cautions(before_));
      return;
    }
    const auto keys = keys_of(troubles_of(chain.formula, judged, asked_.tables));
    const bool helped = !keys.contains(chain.ended) && std::ranges::includes(chain.allowed, keys);
    if (helped) extend(chain, judged);
  }

  static double cautions(const Judged& judged) {
    return static_cast<double>(std::ranges::count_if(
        judged.cautions, [](const FiredCaution& c) { return c.severity != tables::Severity::note; }));
  }
  /// The cheapest few of each group that can be brought to their target, cheapest first.
  std::vector<Remedy> best_of_each() {
    std::ranges::stable_sort(found_, {}, &Chain::cost);
    std::map<std::string, std::size_t> taken;
    std::vector<Remedy> best;
    for (auto& chain : found_) {
      if (taken[chain.group] >= most_alike || best.size() >= most_remedies) continue;
      const Judged judged = judged_anew(chain.formula, asked_);
      if (!passes(chain.formula, judged, before_, asked_.tables)) continue;
      auto outcome = outcome_of(chain.formula, judged, asked_);
      if (!outcome) continue;
      ++taken[chain.group];
      best.push_back({std::move(chain.changes), {std::move(*outcome)}, chain.cost});
    }
    return best;
  }

  const Judged& before_;
  const Asked& asked_;
  std::priority_queue<Chain, std::vector<Chain>, std::greater<>> open_;
  std::vector<Chain> found_;
};

/// The lines of ranges that are left out.
std::set<std::size_t> lines_of(const Removal& removal, const Window& window) {
  std::set<std::size_t> lines;
  for (const std::size_t r : removal.left_out) lines.insert(window.ranges[r].items.begin(), window.ranges[r].items.end());
  return lines;
}

/// Which lines one product lacks and which the other.
struct Split {
  std::vector<std::size_t> first, second;
};

/// Two ways out of an empty window that leave out nothing in common.
std::optional<Split> split_by_ranges(const Window& window) {
  for (std::size_t i = 0; i < window.removals.size(); ++i)
    for (std::size_t j = i + 1; j < window.removals.size(); ++j) {
      if (window.removals[i].weight >= fixed || window.removals[j].weight >= fixed) continue;
      const auto a = lines_of(window.removals[i], window), b = lines_of(window.removals[j], window);
      if (a.empty() || b.empty() || std::ranges::find_first_of(a, b) != a.end()) continue;
      return Split{{a.begin(), a.end()}, {b.begin(), b.end()}};
    }
  return std::nullopt;
}

std::optional<Split> split_of(const Formula& formula, const Judged& judged, const Tables& tables) {
  if (judged.no_window()) return split_by_ranges(judged.window);
  for (const auto& trouble : troubles_of(formula, judged, tables))
    if (trouble.kind == Trouble::Kind::caution && !trouble.sides[0].empty() && !trouble.sides[1].empty())
      return Split{trouble.sides[0], trouble.sides[1]};
  return std::nullopt;
}

bool only_preservatives(const std::vector<std::size_t>& lines, const Formula& formula, const Tables& tables) {
  return std::ranges::all_of(lines, [&](std::size_t i) { return is_preservative(formula.items[i], tables); });
}

Change parting(const std::vector<std::size_t>& lines, const Formula& formula, const Tables& tables) {
  Change change;
  change.kind = ChangeKind::two_products;
  change.items = lines;
  for (const std::size_t i : lines) {
    const auto& item = formula.items[i];
    change.names.push_back(item.listed() ? tables.display_name(item.ingredient) : item.written);
    change.percent_before += item.percent;
  }
  return change;
}

}  // namespace

Judged judged_anew(const Formula& formula, const Asked& asked, Sureness sureness) {
  JudgeOptions options = asked.options;
  options.sureness = sureness;
  options.drivers = 0;
  return judge(formula, asked.tables, options);
}

bool passes(const Formula& formula, const Judged& changed, const Judged& before, const Tables& tables) {
  if (before.phase && !changed.phase) return false;
  if (changed.stop() || !troubles_of(formula, changed, tables).empty()) return false;
  if (!changed.phase) return true;
  const bool both_known = changed.preservation.spectrum_known && before.preservation.spectrum_known;
  return strength(changed.preservation) >= strength(before.preservation) - 1e-9 &&
         (!both_known || gaps(changed.preservation) <= gaps(before.preservation));
}

std::optional<RemedyOutcome> outcome_of(const Formula& formula, const Judged& judged, const Asked& asked) {
  RemedyOutcome outcome;
  outcome.formula = formula;
  std::erase_if(outcome.formula.items, [](const FormulaItem& item) { return !(item.percent > 0); });
  if (!judged.phase) return outcome;
  outcome.ph = judged.prediction->ph;
  outcome.p05 = judged.prediction->p05;
  outcome.p95 = judged.prediction->p95;
  outcome.low = judged.window.low;
  outcome.high = judged.window.high;
  outcome.target = judged.target;
  outcome.adjustment_needed = judged.needs_adjustment(asked.options.target.has_value());
  if (!outcome.adjustment_needed) return outcome;
  const bool acid = *judged.target < judged.prediction->ph;
  const std::array<std::string_view, 2> acids{"citric-acid", "lactic-acid-80"}, bases{"sodium-hydroxide", "triethanolamine-99"};
  for (const auto adjuster : acid ? acids : bases) {
    const auto found = adjustment_for(formula, *judged.phase, *judged.prediction, *judged.target,
                                      adjuster_named(adjuster, asked.tables), asked.tables, asked.options.judging);
    if (!found.possible || !found.withheld.empty() || !found.limits.empty()) continue;
    outcome.adjuster = found.name;
    return outcome;
  }
  return std::nullopt;
}

std::vector<Remedy> search(const Formula& formula, const Judged& judged, const Asked& asked) {
  return Search(judged, asked).run(formula);
}

std::vector<Remedy> splits(const Formula& formula, const Judged& judged, const Asked& asked) {
  const auto split = split_of(formula, judged, asked.tables);
  if (!split || only_preservatives(split->first, formula, asked.tables) ||
      only_preservatives(split->second, formula, asked.tables))
    return {};
  Remedy remedy{{}, {}, splitting_price};
  for (const auto* lines : {&split->first, &split->second}) {
    Change leave = parting(*lines, formula, asked.tables);
    const auto product = with_change(formula, leave);
    if (!product) return {};
    const Judged again = judged_anew(*product, asked);
    auto outcome = passes(*product, again, judged, asked.tables) ? outcome_of(*product, again, asked) : std::nullopt;
    if (!outcome) return {};
    remedy.changes.push_back(std::move(leave));
    remedy.products.push_back(std::move(*outcome));
  }
  return {std::move(remedy)};
}

}  // namespace counterion::remedy
