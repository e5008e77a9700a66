// SPDX-License-Identifier: MIT
#include "remedy_changes.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace counterion::remedy {
namespace {

using Lines = std::vector<std::size_t>;

/// Prices (assumption): how much of a product changes; what is left out adds what it is worth to it.
constexpr double form_price = 1.5, level_price = 1, more_price = 1, preservative_price = 2, material_price = 3,
                 leaving_price = 5;
/// Another candidate of the same kind is worth a look only so much later.
constexpr double next_candidate = 0.01;
/// Candidates of one kind for one line that are tried at all.
constexpr std::size_t most_candidates = 12;

/// Jobs that another material can take over, and the functions that do each.
struct Job {
  std::string_view function;
  std::array<std::string_view, 4> done_by;
};
constexpr std::array jobs{
    Job{"soap", {"anionic-surfactant", "nonionic-surfactant", "amphoteric-surfactant", ""}},
    Job{"thickener", {"thickener", "gellant", "suspending-agent", ""}},
    Job{"gellant", {"gellant", "thickener", "", ""}},
    Job{"emulsifier", {"emulsifier", "", "", ""}},
    Job{"anionic-surfactant", {"anionic-surfactant", "nonionic-surfactant", "amphoteric-surfactant", ""}},
    Job{"amphoteric-surfactant", {"amphoteric-surfactant", "nonionic-surfactant", "", ""}},
    Job{"cationic-surfactant", {"conditioner", "cationic-surfactant", "", ""}},
    Job{"conditioner", {"conditioner", "cationic-surfactant", "", ""}},
    Job{"solubiliser", {"solubiliser", "", "", ""}},
    Job{"chelator", {"chelator", "", "", ""}},
    Job{"buffer", {"buffer", "", "", ""}},
    Job{"adjuster", {"adjuster", "", "", ""}},
    Job{"humectant", {"humectant", "", "", ""}},
    Job{"film-former", {"film-former", "", "", ""}},
    Job{"antioxidant", {"antioxidant", "", "", ""}},
    Job{"colour", {"colour", "", "", ""}},
    Job{"absorbent", {"absorbent", "", "", ""}},
    Job{"emollient", {"emollient", "oil", "", ""}},
    Job{"oil", {"oil", "emollient", "", ""}},
};

double rounded(double percent) {
  if (!(percent > 0)) return 0;
  const double scale = std::pow(10.0, 1 - std::floor(std::log10(percent)));
  return std::round(percent * scale) / scale;
}

/// The largest two-digit percent that is not above this one.
double rounded_down(double percent) {
  if (!(percent > 0)) return 0;
  const double scale = std::pow(10.0, 1 - std::floor(std::log10(percent)));
  return std::floor(percent * scale + 1e-9) / scale;
}

double percent_of(const Formula& formula, const Lines& lines) {
  double percent = 0;
  for (const std::size_t i : lines) percent += formula.items[i].percent;
  return percent;
}

const tables::Level* usual_dose(std::string_view ingredient, const Tables& tables) {
  for (const auto& row : tables.levels_of(ingredient))
    if (row.kind == "use-as-preservative-minimum" && row.rank == 1) return &row;
  return nullptr;
}

/// Makes the changes for one trouble, kind by kind.
class Maker {
 public:
  Maker(const Formula& formula, const Judged& judged, const Trouble& trouble, const Asked& asked)
      : formula_(formula), judged_(judged), trouble_(trouble), asked_(asked), tables_(asked.tables) {}

  std::vector<Priced> make() {
    for (const auto& side : trouble_.sides) add_side(side);
    std::ranges::stable_sort(made_, {}, &Priced::cost);
    return std::move(made_);
  }

 private:
  void add_side(const Lines& side) {
    Lines preservatives, rest;
    for (const std::size_t i : side)
      if (may_change(i)) (is_preservative(formula_.items[i], tables_) ? preservatives : rest).push_back(i);
    if (trouble_.most_percent) add_less(side);
    if (!preservatives.empty()) add_for_preservatives(preservatives);
    for (const std::size_t i : rest) add_for(i);
  }
  void add_for_preservatives(const Lines& lines) {
    if (trouble_.kind != Trouble::Kind::caution && trouble_.kind != Trouble::Kind::limit)
      for (const std::size_t i : lines) add_more(i);
    add_other_preservatives(together(lines));
    for (const std::size_t i : lines)
      if (is_seconded(i)) add_leaving(i);
  }
  void add_for(std::size_t i) {
    const auto& item = formula_.items[i];
    const auto* ingredient = item.listed() ? tables_.ingredient(item.ingredient) : nullptr;
    if (ingredient && trouble_.kind != Trouble::Kind::limit) add_forms(i, *ingredient);
    if (ingredient) add_materials(i, *ingredient);
    if (!tables_.covers("uv-filter", item.ingredient)) add_leaving(i);
  }

  bool may_change(std::size_t i) const {
    const auto& id = formula_.items[i].ingredient;
    return id != "water" && formula_.items[i].percent > 0 && !is_any_of(asked_.exclusions.keep, id);
  }
  bool is_any_of(const std::vector<std::string>& subjects, std::string_view id) const {
    return std::ranges::any_of(subjects, [&](const std::string& subject) { return tables_.covers(subject, id); });
  }
  bool is_seconded(std::size_t i) const {
    return std::ranges::any_of(formula_.items, [&](const FormulaItem& other) {
      return &other != &formula_.items[i] && other.percent > 0 && is_preservative(other, tables_);
    });
  }
  /// What nobody is sent to by a program.
  bool is_barred(std::string_view id) const {
    const bool leave_on = formula_.use != "rinse-off";
    return id == "water" || is_any_of(asked_.exclusions.without, id) || tables_.covers("formaldehyde-donor", id) ||
           (leave_on && tables_.covers("isothiazolinone", id)) || tables_.covers("professional-only", id) ||
           tables_.covers("medicine", id) || (about_salicylate() && is_salicylate(id)) || is_present(id);
  }
  bool is_salicylate(std::string_view id) const {
    return tables_.covers("beta-hydroxy-acid", id) || tables_.covers("form-of-salicylic-acid", id);
  }
  bool about_salicylate() const {
    return std::ranges::any_of(trouble_.sides, [&](const Lines& side) {
      return std::ranges::any_of(side, [&](std::size_t i) { return is_salicylate(formula_.items[i].ingredient); });
    });
  }
  bool is_present(std::string_view id) const {
    return std::ranges::any_of(formula_.items, [&](const FormulaItem& item) { return item.ingredient == id; });
  }
  std::string name_of(std::size_t i) const {
    const auto& item = formula_.items[i];
    return item.listed() ? tables_.display_name(item.ingredient) : item.written;
  }

  void add(ChangeKind kind, const Lines& lines, double cost, std::string_view by = {}, double percent_after = 0) {
    Priced priced;
    priced.change.kind = kind;
    priced.change.items = lines;
    for (const std::size_t i : lines) priced.change.names.push_back(name_of(i));
    priced.change.percent_before = percent_of(formula_, lines);
    priced.change.ingredient = by;
    if (!by.empty()) priced.change.name = tables_.display_name(by);
    priced.change.percent_after = percent_after;
    priced.cost = cost;
    priced.group = std::string(change_kind_names[static_cast<std::size_t>(kind)]);
    for (const std::size_t i : lines) priced.group += '/' + std::to_string(i);
    made_.push_back(std::move(priced));
  }
  void add_less(const Lines& side) {
    if (!std::ranges::all_of(side, [&](std::size_t i) { return may_change(i); })) return;
    const double most = rounded_down(*trouble_.most_percent), now = percent_of(formula_, side);
    if (most > 0 && most < now) add(ChangeKind::lower_level, side, level_price + (1 - most / now), {}, most);
  }
  void add_more(std::size_t i) {
    const auto& item = formula_.items[i];
    const auto* dose = usual_dose(item.ingredient, tables_);
    if (!dose || !dose->upper_value || !tables_.covers("acid-preservative", item.ingredient)) return;
    if (*dose->upper_value > item.percent * 1.05)
      add(ChangeKind::more_preservative, {i}, more_price, {}, *dose->upper_value);
  }
  void add_leaving(std::size_t i) {
    add(ChangeKind::leave_out, {i}, leaving_price + weights_of(formula_, tables_)[i]);
  }

  /// All acid preservatives go together, for their edge is one.
  Lines together(const Lines& lines) const {
    const auto is_acid = [&](std::size_t i) { return tables_.covers("acid-preservative", formula_.items[i].ingredient); };
    if (std::ranges::none_of(lines, is_acid)) return lines;
    std::set<std::size_t> all(lines.begin(), lines.end());
    for (const auto& state : judged_.preservation.acids)
      for (const std::size_t i : state.items)
        if (may_change(i)) all.insert(i);
    return {all.begin(), all.end()};
  }
  int reach_of(std::string_view id) const {
    int groups = 0;
    for (const auto* name : {"acts-on-gram-positive", "acts-on-gram-negative", "acts-on-yeast", "acts-on-mould"})
      groups += tables_.covers(name, id);
    return groups;
  }
  void add_other_preservatives(const Lines& lines) {
    std::vector<std::pair<int, const tables::Ingredient*>> candidates;
    for (const auto& ingredient : tables_.ingredients())
      if (has_function(ingredient, "preservative") && usual_dose(ingredient.id, tables_) && !is_barred(ingredient.id) &&
          stands_at_aim(ingredient.id))
        candidates.emplace_back(-reach_of(ingredient.id), &ingredient);
    std::ranges::stable_sort(candidates, {}, &std::pair<int, const tables::Ingredient*>::first);
    if (candidates.size() > most_candidates) candidates.resize(most_candidates);
    double cost = preservative_price;
    for (const auto& [reach, ingredient] : candidates) {
      add(ChangeKind::another_preservative, lines, cost, ingredient->id, dose_of(*ingredient));
      cost += next_candidate;
    }
  }
  /// The middle of the usual doses.
  double dose_of(const tables::Ingredient& ingredient) const {
    const auto* dose = usual_dose(ingredient.id, tables_);
    return rounded((dose->value + dose->upper_value.value_or(dose->value)) / 2);
  }
  /// Whether a preservative's own spans leave room for the others of the conflict: what is sure to fail is
  /// not tried.
  bool stands_at_aim(std::string_view id) const {
    std::vector<Interval> others;
    for (const auto& range : judged_.window.ranges)
      if (range.hard && range.kind != "preservation") others.push_back(range.interval());
    for (const auto& row : tables_.ranges_of(id)) {
      if (row.rank != 1 || row.kind == "as-supplied") continue;
      Interval span;
      if (row.minimum) span.low = *row.minimum;
      if (row.maximum) span.high = *row.maximum;
      others.push_back(span);
    }
    return !intersection(others).empty();
  }

  void add_forms(std::size_t i, const tables::Ingredient& present) {
    double cost = form_price;
    for (const auto class_name : tables_.classes_of(present.id)) {
      if (!class_name.starts_with("form-of-")) continue;
      for (const auto member : tables_.members_of(class_name)) {
        const auto& other = *tables_.ingredient(member);
        const bool fits = other.phase == present.phase || other.phase == tables::Phase::either;
        if (member == present.id || !fits || is_barred(member)) continue;
        add(ChangeKind::another_form, {i}, cost, member, equivalent(i, other));
        cost += next_candidate;
      }
    }
  }
  /// As many moles of what both bring, else as much by weight; within the usual dose.
  double equivalent(std::size_t i, const tables::Ingredient& other) const {
    const auto& item = formula_.items[i];
    const Material from = material_of(item.ingredient, tables_), to = material_of(other.id, tables_);
    double percent = item.percent;
    for (const auto& part : from.parts)
      for (const auto& piece : part.pieces)
        if (piece.substance->kind == tables::SubstanceKind::protolyte)
          if (const double there = mol_per_g(to, *piece.substance); there > 0)
            percent = item.percent * part.mol_per_g * piece.mol_per_mol / there;
    return within_use(percent, other);
  }
  static double mol_per_g(const Material& material, const tables::Substance& substance) {
    double mol = 0;
    for (const auto& part : material.parts)
      for (const auto& piece : part.pieces)
        if (piece.substance == &substance) mol += part.mol_per_g * piece.mol_per_mol;
    return mol;
  }
  static double within_use(double percent, const tables::Ingredient& other) {
    return rounded(std::clamp(percent, other.use_minimum_percent.value_or(0),
                              std::max(other.use_minimum_percent.value_or(0), other.use_maximum_percent.value_or(100))));
  }

  static const Job* job_of(const tables::Ingredient& ingredient) {
    for (const auto& job : jobs)
      if (has_function(ingredient, job.function)) return &job;
    return nullptr;
  }
  static bool does(const tables::Ingredient& ingredient, const Job& job) {
    return std::ranges::any_of(job.done_by, [&](std::string_view function) {
      return !function.empty() && has_function(ingredient, function);
    });
  }
  /// Classes that two ingredients share.
  int likeness(std::string_view a, std::string_view b) const {
    int shared = 0;
    for (const auto class_name : tables_.classes_of(a)) shared += tables_.covers(class_name, b);
    return shared;
  }
  void add_materials(std::size_t i, const tables::Ingredient& present) {
    const Job* job = has_function(present, "active") || has_function(present, "uv-filter") ? nullptr : job_of(present);
    if (!job) return;
    std::vector<std::pair<int, const tables::Ingredient*>> candidates;
    for (const auto& other : tables_.ingredients())
      if (does(other, *job) && other.phase == present.phase && !has_function(other, "active") && !is_barred(other.id) &&
          !shares_trouble(other.id, i))
        candidates.emplace_back(-likeness(present.id, other.id), &other);
    std::ranges::stable_sort(candidates, {}, &std::pair<int, const tables::Ingredient*>::first);
    if (candidates.size() > most_candidates) candidates.resize(most_candidates);
    double cost = material_price;
    for (const auto& [unlike, other] : candidates) {
      add(ChangeKind::another_material, {i}, cost, other->id, within_use(formula_.items[i].percent, *other));
      cost += next_candidate;
    }
  }
  /// Whether a candidate stands in the very row that stops the present material.
  bool shares_trouble(std::string_view candidate, std::size_t i) const {
    if (trouble_.kind != Trouble::Kind::caution) return false;
    const auto rows = tables_.cautions();
    const auto row = std::ranges::find(rows, trouble_.key, &tables::Caution::id);
    if (row == rows.end()) return false;
    const auto& subject = tables_.covers(row->a, formula_.items[i].ingredient) ? row->a : row->b;
    return tables_.covers(subject, candidate);
  }

  const Formula& formula_;
  const Judged& judged_;
  const Trouble& trouble_;
  const Asked& asked_;
  const Tables& tables_;
  std::vector<Priced> made_;
};

void add_conflicts(const Judged& judged, std::vector<Trouble>& troubles) {
  for (const auto& conflict : judged.window.conflicts) {
    const auto& a = judged.window.ranges[conflict.a];
    const auto& b = judged.window.ranges[conflict.b];
    troubles.push_back({Trouble::Kind::conflict, a.row_id + '|' + b.row_id, {a.items, b.items}, std::nullopt});
  }
}

/// The lines of a caution, those of `a` apart from those of `b`; a level it begins at can be stayed below.
Trouble trouble_of(const FiredCaution& caution, const Formula& formula, const Tables& tables) {
  Trouble trouble{Trouble::Kind::caution, caution.id, {{}, {}}, std::nullopt};
  const auto rows = tables.cautions();
  const auto row = std::ranges::find(rows, caution.id, &tables::Caution::id);
  for (const std::size_t i : caution.items) {
    const bool of_a = row == rows.end() || tables.covers(row->a, formula.items[i].ingredient);
    trouble.sides[of_a ? 0 : 1].push_back(i);
  }
  if (row != rows.end() && row->a_minimum_percent) trouble.most_percent = 0.99 * *row->a_minimum_percent;
  return trouble;
}

Trouble weakness(const Preservation& preservation) {
  Trouble weak{Trouble::Kind::preservation, "preservation", {{}}, std::nullopt};
  for (const auto& state : preservation.acids)
    weak.sides.front().insert(weak.sides.front().end(), state.items.begin(), state.items.end());
  return weak;
}

/// Of troubles of the same lines the level that ends all of them.
void strictest_level_for_each(std::vector<Trouble>& troubles) {
  for (auto& one : troubles)
    for (const auto& other : troubles)
      if (one.most_percent && other.most_percent && one.sides.front() == other.sides.front())
        one.most_percent = std::min(*one.most_percent, *other.most_percent);
}

bool is_weak(const Preservation& preservation) {
  return !preservation.acids.empty() && !preservation.acids_suffice() &&
         std::ranges::none_of(preservation.others, [](const auto& other) { return other.enough(); });
}

}  // namespace

bool is_preservative(const FormulaItem& item, const Tables& tables) {
  return item.listed() && has_function(*tables.ingredient(item.ingredient), "preservative");
}

std::vector<Trouble> troubles_of(const Formula& formula, const Judged& judged, const Tables& tables) {
  std::vector<Trouble> troubles;
  if (judged.no_window()) add_conflicts(judged, troubles);
  for (const auto& limit : judged.limits)
    if (limit.exceeded && limit.law) {
      const double share = limit.maximum_percent / limit.percent;
      troubles.push_back({Trouble::Kind::limit, limit.row_id, {limit.items}, share * percent_of(formula, limit.items)});
    }
  for (const auto& caution : judged.cautions)
    if (caution.severity == tables::Severity::stop) troubles.push_back(trouble_of(caution, formula, tables));
  if (troubles.empty() && is_weak(judged.preservation)) troubles.push_back(weakness(judged.preservation));
  strictest_level_for_each(troubles);
  return troubles;
}

std::vector<Priced> changes_for(const Formula& formula, const Judged& judged, const Trouble& trouble,
                                const Asked& asked) {
  return Maker(formula, judged, trouble, asked).make();
}

}  // namespace counterion::remedy
