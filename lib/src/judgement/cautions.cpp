// SPDX-License-Identifier: MIT
#include <counterion/judgement/cautions.hpp>

#include <algorithm>
#include <cmath>
#include <set>

namespace counterion {
namespace {

using tables::Severity;

/// Under which ids and classes the lines of a formula stand, so that a caution is looked up and not
/// every class asked for every line.
class Subjects {
 public:
  Subjects(const Formula& formula, const Tables& tables) {
    for (std::size_t i = 0; i < formula.items.size(); ++i) {
      const auto& item = formula.items[i];
      if (!item.listed() || !(item.percent > 0)) continue;
      lines_.emplace_back(item.ingredient, i);
      for (const auto class_name : tables.classes_of(item.ingredient))
        lines_.emplace_back(class_name, i);
    }
    std::ranges::sort(lines_);
  }
  /// The lines that a subject covers, in their order.
  std::vector<std::size_t> covered_by(std::string_view subject) const {
    std::vector<std::size_t> items;
    for (const auto& [name, item] : std::ranges::equal_range(lines_, subject, {}, &Line::first))
      if (items.empty() || items.back() != item) items.push_back(item);
    return items;
  }

 private:
  using Line = std::pair<std::string_view, std::size_t>;
  std::vector<Line> lines_;
};

bool inside(double ph, const std::optional<double>& low, const std::optional<double>& high) {
  return ph >= low.value_or(-100) && ph <= high.value_or(100);
}

bool product_applies(std::string_view product, const Formula& formula) {
  if (product.empty()) return true;
  if (product == "leave-on" || product == "rinse-off")
    return formula.use.empty() || formula.use == product;
  return formula.product_type == product;
}

/// Where a pH-gated fact holds: at the pH to aim for, or only before adjusting.
struct Gate {
  bool holds = false;
  bool before_adjusting_only = false;

  Gate(const std::optional<double>& low, const std::optional<double>& high,
       std::optional<double> predicted, std::optional<double> target) {
    const bool gated = low || high;
    const bool now = predicted && inside(*predicted, low, high);
    const bool then = target && inside(*target, low, high);
    holds = !gated || now || then;
    before_adjusting_only = gated && now && target && !then;
  }
};

bool level_applies(const tables::Caution& row, const std::vector<std::size_t>& items,
                   const Formula& formula) {
  double percent = 0;
  for (const std::size_t i : items) percent += formula.items[i].percent;
  return percent >= row.a_minimum_percent.value_or(0) && percent <= row.a_maximum_percent.value_or(1e9);
}

/// The lines a caution is about; empty when it does not meet its company.
std::vector<std::size_t> company(const tables::Caution& row, const Formula& formula,
                                 const Subjects& subjects) {
  const auto a = subjects.covered_by(row.a);
  if (a.empty() || !level_applies(row, a, formula)) return {};
  if (row.b.empty()) return a;
  std::set<std::size_t> both(a.begin(), a.end());
  const auto b = subjects.covered_by(row.b);
  both.insert(b.begin(), b.end());
  if (b.empty() || both.size() < 2) return {};
  return {both.begin(), both.end()};
}

void add_cautions(const Formula& formula, std::optional<double> predicted,
                  std::optional<double> target, const Tables& tables,
                  std::vector<FiredCaution>& fired) {
  const Subjects subjects(formula, tables);
  for (const auto& row : tables.cautions()) {
    const Gate gate(row.minimum_ph, row.maximum_ph, predicted, target);
    if (!gate.holds || !product_applies(row.product, formula)) continue;
    auto items = company(row, formula, subjects);
    if (items.empty()) continue;
    fired.push_back({std::string(row.id), gate.before_adjusting_only ? Severity::note : row.severity,
                     std::move(items), gate.before_adjusting_only, std::string(row.what_happens),
                     std::string(row.what_to_do), std::string(row.provenance.source),
                     std::string(row.provenance.row_id)});
  }
}

void add_changes(const Formula& formula, std::optional<double> predicted,
                 std::optional<double> target, const Tables& tables,
                 std::vector<FiredCaution>& fired) {
  std::set<std::string_view> said;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    if (formula.items[i].ingredient == "water") continue;  // what pure water does, a formula does not
    for (const auto& row : tables.changes_of(formula.items[i].ingredient)) {
      const Gate gate(row.minimum_ph, row.maximum_ph, target ? target : predicted, target);
      if (!gate.holds || row.quantity == "stable-span" || row.watch_for.empty() || !said.insert(row.watch_for).second) continue;
      fired.push_back({std::string(row.id), Severity::note, {i}, false, std::string(row.watch_for), {},
                       std::string(row.provenance.source), std::string(row.provenance.row_id)});
    }
  }
}

}  // namespace

std::vector<FiredCaution> cautions_of(const Formula& formula, std::optional<double> predicted,
                                      std::optional<double> target, const Tables& tables) {
  std::vector<FiredCaution> fired;
  add_cautions(formula, predicted, target, tables, fired);
  add_changes(formula, predicted, target, tables, fired);
  std::stable_sort(fired.begin(), fired.end(),
                   [](const auto& a, const auto& b) { return a.severity > b.severity; });
  return fired;
}

std::vector<WorkingRange> stop_ranges(const Formula& formula, const Tables& tables) {
  std::vector<WorkingRange> ranges;
  const Subjects subjects(formula, tables);
  for (const auto& row : tables.cautions()) {
    const bool one_sided = row.minimum_ph.has_value() != row.maximum_ph.has_value();
    if (row.severity != Severity::stop || !one_sided || !product_applies(row.product, formula)) continue;
    const auto items = company(row, formula, subjects);
    if (items.empty()) continue;
    WorkingRange range;
    range.item = items.front();
    range.name = tables.display_name(formula.items[items.front()].ingredient);
    range.kind = "caution";
    // A caution that ends at 3.49 leaves 3.5 free.
    if (row.maximum_ph) range.minimum = std::ceil(*row.maximum_ph * 20 - 1e-9) / 20;
    if (row.minimum_ph) range.maximum = std::floor(*row.minimum_ph * 20 + 1e-9) / 20;
    range.why = row.what_happens;
    range.source = row.provenance.source;
    range.row_id = row.provenance.row_id;
    ranges.push_back(std::move(range));
  }
  return ranges;
}

}  // namespace counterion
