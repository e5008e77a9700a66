// SPDX-License-Identifier: MIT
#include <counterion/judgement/cautions.hpp>

#include "level_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <tuple>

namespace counterion {
namespace {

constexpr std::array<std::string_view, 3> soft_kinds = {"comfort", "efficacy", "uptake"};
/// Of these kinds another source's bounds are another opinion about the same matter; of law, irritation
/// and skin they are another case.
constexpr std::array<std::string_view, 4> disputable_kinds = {"preservation", "solubility", "stability", "viscosity"};
constexpr std::array<std::string_view, 5> markets = {"Canada", "China", "EU", "Japan", "US"};

template <class Words>
bool among(const Words& words, std::string_view word) {
  return std::ranges::find(words, word) != words.end();
}

/// A row as a range of this name; whose lines it is about is left open.
WorkingRange working_range(const tables::Range& row, std::string name, bool hard) {
  return {{},
          std::move(name),
          std::string(row.kind),
          hard,
          row.minimum,
          row.ideal_low,
          row.ideal_high,
          row.maximum,
          std::string(row.why),
          std::string(row.condition),
          std::string(row.provenance.source),
          std::string(row.provenance.row_id),
          {}};
}

/// What other sources say of the fact of this row.
std::vector<OtherBounds> other_bounds(const tables::Range& row, const Tables& tables) {
  std::vector<OtherBounds> others;
  if (!among(disputable_kinds, row.kind)) return others;
  for (const auto& other : tables.ranges_of(row.subject)) {
    const bool same = other.kind == row.kind && other.rank != 1 && (other.minimum || other.maximum);
    if (!same || (other.minimum == row.minimum && other.maximum == row.maximum)) continue;
    others.push_back({other.minimum, other.maximum, std::string(other.condition),
                      std::string(other.provenance.source), std::string(other.provenance.row_id)});
  }
  return others;
}

/// A condition that opens with the name of a market holds in that market.
bool market_applies(std::string_view condition, std::string_view jurisdiction) {
  if (jurisdiction.empty()) return true;
  for (const auto market : markets)
    if (condition.starts_with(market)) return market == jurisdiction;
  return true;
}

/// Collects the rows that apply, item by item.
class Collector {
 public:
  Collector(const Formula& formula, const Tables& tables, const Judging& judging, const Preservation& preservation)
      : formula_(formula), tables_(tables), judging_(judging), preservation_(preservation) {}

  std::vector<WorkingRange> collect() {
    for (std::size_t i = 0; i < formula_.items.size(); ++i)
      if (formula_.items[i].listed() && formula_.items[i].percent > 0) add_item(i);
    add_dosed_acids();
    soften_seconded_preservatives();
    for (auto& range : stop_ranges(formula_, tables_)) ranges_.push_back(std::move(range));
    add_product();
    return std::move(ranges_);
  }

 private:
  void add_item(std::size_t i) {
    const auto& id = formula_.items[i].ingredient;
    add_rows(id, i, {});
    // What is known of the material itself goes before what is known of its class.
    for (const auto class_name : tables_.classes_of(id)) add_rows(class_name, i, id);
  }
  void add_rows(std::string_view subject, std::size_t i, std::string_view unless_of) {
    for (const auto& row : tables_.ranges_of(subject))
      if (row.rank == 1 && row.kind != "as-supplied" &&
          market_applies(row.condition, judging_.jurisdiction) && !has_range(unless_of, row.kind))
        add_row(row, i);
  }
  bool has_range(std::string_view subject, std::string_view kind) const {
    return std::ranges::any_of(tables_.ranges_of(subject), [&](const tables::Range& row) { return row.kind == kind; });
  }
  void add_row(const tables::Range& row, std::size_t i) {
    const auto& id = formula_.items[i].ingredient;
    WorkingRange range = working_range(row, tables_.display_name(id), !among(soft_kinds, row.kind));
    range.items = {i};
    range.others = other_bounds(row, tables_);
    if (row.kind == "preservation" && !fits_preservative(i, range)) return;
    ranges_.push_back(std::move(range));
  }
  /// False when here the line is no preservative at all, or an edge from its dose stands in.
  bool fits_preservative(std::size_t i, WorkingRange& range) {
    if (is_exfoliant_here(i)) return false;
    if (has_edge_from_dose(i)) {
      fallbacks_.push_back(std::move(range));
      return false;
    }
    if (!has_function(*tables_.ingredient(formula_.items[i].ingredient), "preservative")) range.hard = false;
    return true;
  }
  /// Beyond its dose as a preservative an exfoliant is there for something else.
  bool is_exfoliant_here(std::size_t i) const {
    const auto& item = formula_.items[i];
    const auto* dose = rank_one_level(item.ingredient, "use-as-preservative-minimum", tables_);
    return has_function(*tables_.ingredient(item.ingredient), "exfoliant") && dose &&
           item.percent > dose->upper_value.value_or(100);
  }
  bool has_edge_from_dose(std::size_t i) const {
    return std::ranges::any_of(preservation_.acids, [&](const PreservativeState& state) {
      return edge_of(state) && std::ranges::find(state.items, i) != state.items.end();
    });
  }
  bool counts(const PreservativeState& state) const {
    return state.least_active && !std::ranges::all_of(state.items, [&](std::size_t i) { return is_exfoliant_here(i); });
  }
  /// Where the acids that have a figure leave off, together where there are several.
  std::optional<double> edge_of(const PreservativeState& state) const {
    if (!counts(state)) return std::nullopt;
    return preservation_.combined_highest_ph ? preservation_.combined_highest_ph : state.highest_ph;
  }
  /// The edges that follow from the doses of acid preservatives.
  void add_dosed_acids() {
    std::vector<const PreservativeState*> dosed;
    for (const auto& state : preservation_.acids)
      if (edge_of(state)) dosed.push_back(&state);
    if (!dosed.empty()) ranges_.push_back(from_doses(dosed));
  }
  /// What makes the edge less sure: of one acid the upper end of its figure, of several that each by itself
  /// leaves off sooner.
  static std::vector<OtherBounds> doubts(const std::vector<const PreservativeState*>& dosed) {
    std::vector<OtherBounds> others;
    for (const auto* state : dosed) {
      if (dosed.size() > 1)
        others.push_back({std::nullopt, state->highest_ph.value_or(0), state->acid_name + " by itself", state->source,
                          state->row_id});
      else if (state->least_active_upper)
        others.push_back({std::nullopt, state->firm_highest_ph.value_or(0), "upper end of the figure", state->source,
                          state->row_id});
    }
    return others;
  }
  WorkingRange from_doses(const std::vector<const PreservativeState*>& dosed) const {
    WorkingRange range;
    range.kind = "preservation";
    const PreservativeState& first = *dosed.front();
    for (const auto* state : dosed) range.items.insert(range.items.end(), state->items.begin(), state->items.end());
    std::ranges::sort(range.items);
    for (const std::size_t i : range.items)
      range.name += (range.name.empty() ? "" : " with ") + tables_.display_name(formula_.items[i].ingredient);
    range.maximum = edge_of(first);
    range.why = why(dosed);
    range.source = first.source;
    range.row_id = first.row_id;
    range.condition = dosed.size() == 1 ? first.condition : std::string();
    range.others = doubts(dosed);
    take_ideals(range);
    range.hard = std::ranges::any_of(range.items, [&](std::size_t i) {
      return has_function(*tables_.ingredient(formula_.items[i].ingredient), "preservative");
    });
    return range;
  }
  static std::string why(const std::vector<const PreservativeState*>& dosed) {
    if (dosed.size() == 1)
      return fmt::format("above it less than {:g} % undissociated {} is left in the water, the amount a laboratory "
                         "needed to stop growth", *dosed.front()->least_active, dosed.front()->acid_name);
    std::string figures;
    for (const auto* state : dosed)
      figures += fmt::format("{}{:g} % of {}", figures.empty() ? "" : ", ", *state->least_active, state->acid_name);
    return fmt::format("above it what is left undissociated in the water falls short, taken together, of what a "
                       "laboratory needed to stop growth ({})", figures);
  }
  /// The ideal span of the rows that the edge stands in for.
  void take_ideals(WorkingRange& range) const {
    for (const auto& fallback : fallbacks_) {
      if (fallback.ideal_low) range.ideal_low = std::max(range.ideal_low.value_or(0), *fallback.ideal_low);
      if (fallback.ideal_high) range.ideal_high = std::min(range.ideal_high.value_or(14), *fallback.ideal_high);
    }
    if (range.ideal_high) range.ideal_high = std::min(*range.ideal_high, *range.maximum);
    if (range.ideal_low && *range.ideal_low > range.ideal_high.value_or(*range.maximum)) range.ideal_low.reset();
  }
  /// A preservative that does not depend on an acid, at its usual dose, takes the edge off the others.
  void soften_seconded_preservatives() {
    const bool seconded = std::ranges::any_of(
        formula_.items, [&](const FormulaItem& item) { return is_full_without_acid(item, tables_); });
    for (auto& range : ranges_)
      if (seconded && range.kind == "preservation" &&
          tables_.covers("acid-preservative", formula_.items[range.items.front()].ingredient))
        range.hard = false;
  }
  /// The product's own skin range, else the body's for that use (a scalp's: the hair's), else that of
  /// any product.
  void add_product() {
    const auto& [type, use] = std::tie(formula_.product_type, formula_.use);
    const std::string next = type == "scalp" ? "hair" : "body";
    for (const auto& [subject, name] :
         {std::pair{fmt::format("product:{}-{}", type, use), fmt::format("{}, {}", type, use)},
          std::pair{fmt::format("product:{}-{}", next, use), fmt::format("{}, {}", next, use)},
          std::pair{std::string("product:any"), std::string("skin, any product")}}) {
      if (tables_.ranges_of(subject).empty()) continue;
      for (const auto& row : tables_.ranges_of(subject))
        if (row.kind == "skin" && row.rank == 1)
          ranges_.push_back(working_range(row, name, true));
      return;
    }
  }

  const Formula& formula_;
  const Tables& tables_;
  const Judging& judging_;
  const Preservation& preservation_;
  std::vector<WorkingRange> ranges_, fallbacks_;
};

}  // namespace

std::vector<WorkingRange> working_ranges(const Formula& formula, const Tables& tables, const Judging& judging,
                                         const Preservation& preservation) {
  return Collector(formula, tables, judging, preservation).collect();
}

}  // namespace counterion
