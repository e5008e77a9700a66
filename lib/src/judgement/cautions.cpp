// SPDX-License-Identifier: MIT
#include <counterion/judgement/cautions.hpp>

#include <counterion/text/names.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace counterion {
namespace {

using tables::Severity;

/// Classes whose rows speak of what an exfoliant does to skin, not of acids in general.
constexpr std::array<std::string_view, 2> exfoliants{"alpha-hydroxy-acid", "exfoliant-acid"};

/// Whether the person wrote beside it that it is there for the pH.
bool is_noted_as_adjuster(const FormulaItem& item) {
  const auto note = text::normalise(item.note);
  return note.find("adjust") != note.npos || note.find("neutrali") != note.npos;
}

/// Under which ids and classes the lines of a formula stand, so that a caution is looked up and not
/// every class asked for every line.
class Subjects {
 public:
  Subjects(const Formula& formula, const Tables& tables) {
    for (std::size_t i = 0; i < formula.items.size(); ++i) {
      const auto& item = formula.items[i];
      if (!item.listed() || !(item.percent > 0)) continue;
      lines_.emplace_back(item.ingredient, i);
      const bool adjuster = is_noted_as_adjuster(item);
      for (const auto class_name : tables.classes_of(item.ingredient))
        if (!adjuster || std::ranges::find(exfoliants, class_name) == exfoliants.end())
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

bool product_applies(std::string_view product, const Formula& formula) {
  if (product.empty()) return true;
  if (product == "leave-on" || product == "rinse-off")
    return formula.use.empty() || formula.use == product;
  return formula.product_type == product;
}

/// A gate on the pH held against what is known of the pH.
class Gate {
 public:
  Gate(const std::optional<double>& low, const std::optional<double>& high) : low_(low), high_(high) {
    if (low) span_.low = *low;
    if (high) span_.high = *high;
  }
  /// Where it holds; nothing when nowhere.
  std::optional<Holding> against(const PHInQuestion& ph) const {
    if (!low_ && !high_) return Holding::there;
    const bool now = ph.predicted && span_.contains(*ph.predicted);
    const bool then = ph.target && span_.contains(*ph.target);
    if (then || (now && !ph.target)) return Holding::there;
    if (now) return Holding::until_adjusted;
    if (overlaps(ph.interval)) return Holding::possibly;
    return overlaps(ph.window) ? std::optional(Holding::elsewhere) : std::nullopt;
  }

 private:
  bool overlaps(const std::optional<Interval>& other) const {
    return other && std::max(span_.low, other->low) < std::min(span_.high, other->high);
  }
  std::optional<double> low_, high_;
  Interval span_;
};

/// What is left of a severity where a caution does not simply hold; nothing when it is not worth a word.
std::optional<Severity> weight_of(Severity severity, Holding holding) {
  if (holding == Holding::there) return severity;
  if (holding == Holding::until_adjusted) return Severity::note;
  if (severity == Severity::note) return std::nullopt;
  return holding == Holding::possibly && severity == Severity::stop ? Severity::caution : Severity::note;
}

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

void add_cautions(const Formula& formula, const PHInQuestion& ph, const Tables& tables,
                  std::vector<FiredCaution>& fired) {
  const Subjects subjects(formula, tables);
  for (const auto& row : tables.cautions()) {
    const auto holding = Gate(row.minimum_ph, row.maximum_ph).against(ph);
    const auto severity = holding ? weight_of(row.severity, *holding) : std::nullopt;
    if (!severity || !product_applies(row.product, formula)) continue;
    auto items = company(row, formula, subjects);
    if (items.empty()) continue;
    fired.push_back({std::string(row.id), *severity, std::move(items), *holding, row.minimum_ph, row.maximum_ph,
                     std::string(row.what_happens), std::string(row.what_to_do),
                     std::string(row.provenance.source), std::string(row.provenance.row_id)});
  }
}

void add_changes(const Formula& formula, const PHInQuestion& ph, const Tables& tables,
                 std::vector<FiredCaution>& fired) {
  const PHInQuestion settled{ph.target ? ph.target : ph.predicted, ph.target, std::nullopt, std::nullopt};
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    if (formula.items[i].ingredient == "water") continue;  // what pure water does, a formula does not
    for (const auto& row : tables.changes_of(formula.items[i].ingredient)) {
      if (row.quantity == "stable-span" || row.watch_for.empty()) continue;
      if (!Gate(row.minimum_ph, row.maximum_ph).against(settled)) continue;
      fired.push_back({std::string(row.id), Severity::note, {i}, Holding::there, row.minimum_ph, row.maximum_ph,
                       std::string(row.watch_for), {}, std::string(row.provenance.source),
                       std::string(row.provenance.row_id)});
    }
  }
}

/// One that says the same with the same weight is said once, about all lines.
void say_once(std::vector<FiredCaution>& fired) {
  std::vector<FiredCaution> once;
  for (auto& caution : fired) {
    const auto same = std::ranges::find_if(once, [&](const FiredCaution& other) {
      return other.what_happens == caution.what_happens && other.severity == caution.severity;
    });
    if (same == once.end()) {
      once.push_back(std::move(caution));
      continue;
    }
    std::set<std::size_t> both(same->items.begin(), same->items.end());
    both.insert(caution.items.begin(), caution.items.end());
    same->items.assign(both.begin(), both.end());
  }
  fired = std::move(once);
}

}  // namespace

std::vector<FiredCaution> cautions_of(const Formula& formula, const PHInQuestion& ph, const Tables& tables) {
  std::vector<FiredCaution> fired;
  add_cautions(formula, ph, tables, fired);
  add_changes(formula, ph, tables, fired);
  say_once(fired);
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
    range.items = items;
    for (const std::size_t i : items)
      range.name += (range.name.empty() ? "" : " with ") + tables.display_name(formula.items[i].ingredient);
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
