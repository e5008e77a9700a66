// SPDX-License-Identifier: MIT
#include <counterion/batch/material.hpp>
#include <counterion/judgement/cautions.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

namespace counterion {
namespace {

/// Whether an unstated product may be this one: of face, body, hand or foot, in the stated use.
bool is_skin_product(std::string_view product, std::string_view use) {
  constexpr std::array<std::string_view, 4> skin{"body", "face", "foot", "hand"};
  const auto kind = product.substr(0, product.find('-'));
  const bool same_use = use.empty() || product == kind || product.ends_with(use);
  return same_use && std::ranges::find(skin, kind) != skin.end();
}

/// How closely a row's product fits the formula's: 0 not at all, 3 best.
int fit(std::string_view product, const Formula& formula) {
  if (product.empty() || product == "any") return 1;
  if (product == "leave-on" || product == "rinse-off")
    return formula.use.empty() || formula.use == product ? 2 : 0;
  if (formula.product_type.empty()) return is_skin_product(product, formula.use) ? 2 : 0;
  const std::string exact = fmt::format("{}-{}", formula.product_type, formula.use);
  if (product == exact || product == formula.product_type) return 3;
  // A scalp is washed and left with what hair products are, unless a row says scalp.
  const bool of_hair = product == "hair" || product == fmt::format("hair-{}", formula.use);
  return formula.product_type == "scalp" && of_hair ? 3 : 0;
}

/// What the law counts of a line: moles of a substance, and of which substance these are in truth.
struct Counted {
  double mol_per_g = 0;
  std::string_view base;
};

/// Moles of `wanted` in one mole of a substance as the law sees it; 0 when it sees none.
double counts_as(std::string_view substance, std::string_view wanted, const Tables& tables) {
  if (substance == wanted) return 1;
  const auto* row = tables.constant(substance, "counts-as", wanted);
  return row ? row->value : 0;
}

Counted counted_in(const Material& material, std::string_view wanted, const Tables& tables) {
  Counted counted;
  const auto add = [&](std::string_view substance, double mol_per_g) {
    const double times = counts_as(substance, wanted, tables);
    if (times > 0 && mol_per_g > 0) counted.mol_per_g += mol_per_g * times, counted.base = substance;
    return times > 0;
  };
  for (const auto& part : material.parts)
    if (!add(part.component, part.mol_per_g))
      for (const auto& piece : part.pieces) add(piece.substance->id, part.mol_per_g * piece.mol_per_mol);
  return counted;
}

/// What is neither water nor oil in a material as supplied.
double dry_share(std::string_view ingredient, const Tables& tables) {
  double share = 1;
  for (const auto& part : tables.composition_of(ingredient))
    if (part.component == "water" || part.component == "oil") share -= part.mass_fraction;
  return std::max(share, 0.0);
}

/// A line's percent as a row counts it, and under which name it is added up.
struct Counting {
  double percent = 0;
  std::string under;
};

/// A row for a class counts every member, as one substance or else dry; a row for an ingredient counts it
/// with what holds the same substance. What cannot be counted as the law does counts as it is weighed.
Counting counting(const FormulaItem& item, const tables::Level& row, const Tables& tables) {
  const bool of_class = row.subject != item.ingredient;
  const auto* wanted = row.expressed_as.empty() ? nullptr : tables.substance(row.expressed_as);
  if (!wanted && !of_class) return {item.percent, item.ingredient};
  if (!wanted) return {item.percent * dry_share(item.ingredient, tables), std::string(row.subject)};
  const Material material = material_of(item.ingredient, tables);
  const Counted counted = counted_in(material, wanted->id, tables);
  const double percent =
      counted.mol_per_g > 0 ? item.percent * counted.mol_per_g * wanted->molar_mass_g_per_mol : item.percent;
  const auto base = counted.base.empty() ? std::string_view(item.ingredient) : counted.base;
  return {percent, of_class ? std::string(row.subject) : fmt::format("{}/{}", row.expressed_as, base)};
}

bool is_law(const tables::Level& row) { return row.kind == "legal-maximum"; }

/// The rows of a subject that bind a formula in one market: the best fitting product, and of those all.
void add_binding_rows(std::string_view subject, const Formula& formula, const Tables& tables,
                      const Judging& judging, std::vector<const tables::Level*>& binding) {
  const auto rows = tables.levels_of(subject);
  const auto applies = [&](const tables::Level& row) {
    return (is_law(row) || row.kind == "advised-maximum") && row.rank == 1 &&
           (judging.jurisdiction.empty() || row.market == judging.jurisdiction);
  };
  std::map<std::pair<std::string_view, bool>, int> best;  // by market, law apart from advice
  for (const auto& row : rows)
    if (applies(row)) {
      int& closest = best[{row.market, is_law(row)}];
      closest = std::max(closest, fit(row.product, formula));
    }
  for (const auto& row : rows)
    if (const int closest = applies(row) ? best[{row.market, is_law(row)}] : 0;
        closest > 0 && fit(row.product, formula) == closest)
      binding.push_back(&row);
}

/// The same for a line: the rows of the ingredient and those of its classes.
std::vector<const tables::Level*> binding_rows(const FormulaItem& item, const Formula& formula,
                                               const Tables& tables, const Judging& judging) {
  std::vector<const tables::Level*> binding;
  add_binding_rows(item.ingredient, formula, tables, judging, binding);
  for (const auto class_name : tables.classes_of(item.ingredient))
    add_binding_rows(class_name, formula, tables, judging, binding);
  return binding;
}

CheckedLimit fresh_limit(const tables::Level& row, const Tables& tables) {
  CheckedLimit limit;
  limit.maximum_percent = row.value;
  if (const auto* counted = tables.substance(row.expressed_as)) limit.expressed_as = counted->name;
  limit.law = is_law(row);
  limit.market = row.market;
  limit.product = row.product;
  limit.condition = row.condition;
  limit.source = row.provenance.source;
  limit.row_id = row.provenance.row_id;
  if (const auto* source = tables.source(limit.source)) limit.date_seen = source->date_seen;
  return limit;
}

/// Adds a line up under a row.
void add_up(std::size_t i, double percent, const tables::Level& row, const Tables& tables, CheckedLimit& limit) {
  if (limit.row_id.empty()) limit = fresh_limit(row, tables);
  if (!limit.items.empty() && limit.items.back() == i) return;  // several conditions count it once
  limit.items.push_back(i);
  limit.percent += percent;
}

}  // namespace

std::vector<CheckedLimit> limits_of(const Formula& formula, const Tables& tables,
                                    const Judging& judging) {
  // law or advice, market, maximum, counted as: what shares all of them is added up
  using Key = std::tuple<bool, std::string, double, std::string>;
  std::map<Key, CheckedLimit> checked;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    const auto& item = formula.items[i];
    if (!item.listed() || !(item.percent > 0)) continue;
    for (const auto* row : binding_rows(item, formula, tables, judging)) {
      const auto counted = counting(item, *row, tables);
      add_up(i, counted.percent, *row, tables, checked[Key{is_law(*row), std::string(row->market), row->value, counted.under}]);
    }
  }
  std::vector<CheckedLimit> limits;
  for (auto& [key, limit] : checked) {
    limit.exceeded = limit.percent > limit.maximum_percent * (1 + 1e-9);
    limits.push_back(std::move(limit));
  }
  std::stable_sort(limits.begin(), limits.end(),
                   [](const auto& a, const auto& b) { return a.exceeded > b.exceeded; });
  return limits;
}

}  // namespace counterion
