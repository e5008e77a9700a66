// SPDX-License-Identifier: MIT
#include <counterion/judgement/cautions.hpp>
#include <counterion/judgement/preservation.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <tuple>

namespace counterion {
namespace {

constexpr std::array<std::string_view, 3> soft_kinds = {"comfort", "efficacy", "uptake"};
constexpr std::array<std::string_view, 5> markets = {"Canada", "China", "EU", "Japan", "US"};

bool is_soft(std::string_view kind) {
  return std::find(soft_kinds.begin(), soft_kinds.end(), kind) != soft_kinds.end();
}

/// A row as a range of this name; whose line it is about is left open.
WorkingRange working_range(const tables::Range& row, std::string name, bool hard) {
  return {std::nullopt,
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
          std::string(row.provenance.row_id)};
}

/// A condition that opens with the name of a market holds in that market.
bool market_applies(std::string_view condition, std::string_view jurisdiction) {
  if (jurisdiction.empty()) return true;
  for (const auto market : markets)
    if (condition.starts_with(market)) return market == jurisdiction;
  return true;
}

const tables::Level* rank_one_level(std::string_view subject, std::string_view kind,
                                    const Tables& tables) {
  for (const auto& row : tables.levels_of(subject))
    if (row.kind == kind && row.rank == 1) return &row;
  return nullptr;
}

/// Collects the rows that apply, item by item.
class Collector {
 public:
  Collector(const Formula& formula, const WaterPhase* phase, const Prediction* prediction,
            const Tables& tables, const Judging& judging)
      : formula_(formula), tables_(tables), judging_(judging) {
    if (phase && prediction)
      preservatives_ = preservation_of(formula, *phase, *prediction, std::nullopt, tables);
  }

  std::vector<WorkingRange> collect() {
    for (std::size_t i = 0; i < formula_.items.size(); ++i)
      if (formula_.items[i].listed() && formula_.items[i].percent > 0) add_item(i);
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
    WorkingRange range = working_range(row, tables_.display_name(id), !is_soft(row.kind));
    range.item = i;
    if (row.kind == "preservation" && !fit_preservative(range)) return;
    ranges_.push_back(std::move(range));
  }
  /// Sets a preservative's edge by its dose; false when here it is no preservative at all.
  bool fit_preservative(WorkingRange& range) {
    const auto& item = formula_.items[*range.item];
    const auto& ingredient = *tables_.ingredient(item.ingredient);
    const auto* dose = rank_one_level(item.ingredient, "use-as-preservative-minimum", tables_);
    if (has_function(ingredient, "exfoliant") && dose && item.percent > dose->upper_value.value_or(100))
      return false;
    if (!has_function(ingredient, "preservative")) range.hard = false;
    for (const auto& state : preservatives_)
      if (state.item == *range.item && state.least_active && state.highest_ph) {
        range.maximum = state.highest_ph;
        range.why = fmt::format(
            "above it less than {:g} % undissociated {} is left in the water, the amount a laboratory "
            "needed to stop growth",
            *state.least_active, state.acid_name);
        range.source = state.source;
        range.row_id = state.row_id;
        range.condition = state.condition;
        if (range.ideal_high) range.ideal_high = std::min(*range.ideal_high, *range.maximum);
      }
    return true;
  }
  /// A preservative that does not depend on an acid, at its usual dose, takes the edge off the others.
  void soften_seconded_preservatives() {
    for (auto& range : ranges_)
      if (range.kind == "preservation" && tables_.covers("acid-preservative", id_of(range)))
        range.hard = range.hard && !has_full_second();
  }
  bool has_full_second() const {
    return std::any_of(formula_.items.begin(), formula_.items.end(), [this](const FormulaItem& item) {
      if (!item.listed() || tables_.covers("acid-preservative", item.ingredient)) return false;
      const auto& ingredient = *tables_.ingredient(item.ingredient);
      const auto* dose = rank_one_level(item.ingredient, "use-as-preservative-minimum", tables_);
      return has_function(ingredient, "preservative") && dose && item.percent >= dose->value;
    });
  }
  std::string_view id_of(const WorkingRange& range) const {
    return formula_.items[*range.item].ingredient;
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
  std::vector<PreservativeState> preservatives_;
  std::vector<WorkingRange> ranges_;
};

}  // namespace

std::vector<WorkingRange> working_ranges(const Formula& formula, const WaterPhase* phase,
                                         const Prediction* prediction, const Tables& tables,
                                         const Judging& judging) {
  return Collector(formula, phase, prediction, tables, judging).collect();
}

}  // namespace counterion
