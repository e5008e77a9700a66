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

/// Percent of the formula that an item is, counted as the substance of the law.
double percent_as(const FormulaItem& item, std::string_view expressed_as, const Tables& tables) {
  const auto* counted = expressed_as.empty() ? nullptr : tables.substance(expressed_as);
  if (!counted) return item.percent;
  double mol_per_g = 0;
  for (const auto& part : material_of(item.ingredient, tables).parts) {
    const auto piece = std::find_if(part.pieces.begin(), part.pieces.end(),
                                    [&](const auto& p) { return p.substance == counted; });
    mol_per_g += piece != part.pieces.end() ? part.mol_per_g * piece->mol_per_mol : 0;
    if (part.component == counted->id && counted->kind == tables::SubstanceKind::compound)
      mol_per_g += part.mol_per_g;
  }
  return item.percent * mol_per_g * counted->molar_mass_g_per_mol;
}

bool is_law(const tables::Level& row) { return row.kind == "legal-maximum"; }

/// The rows that bind one item in one market: the best fitting product, and of those all.
std::vector<const tables::Level*> binding_rows(const FormulaItem& item, const Formula& formula,
                                               const Tables& tables, const Judging& judging) {
  std::map<std::pair<std::string_view, bool>, int> best;  // by market, law apart from advice
  const auto rows = tables.levels_of(item.ingredient);
  const auto applies = [&](const tables::Level& row) {
    return (is_law(row) || row.kind == "advised-maximum") && row.rank == 1 &&
           (judging.jurisdiction.empty() || row.market == judging.jurisdiction);
  };
  for (const auto& row : rows) {
    if (!applies(row)) continue;
    int& closest = best[{row.market, is_law(row)}];
    closest = std::max(closest, fit(row.product, formula));
  }
  std::vector<const tables::Level*> binding;
  for (const auto& row : rows)
    if (const int closest = applies(row) ? best[{row.market, is_law(row)}] : 0;
        closest > 0 && fit(row.product, formula) == closest)
      binding.push_back(&row);
  return binding;
}

}  // namespace

std::vector<CheckedLimit> limits_of(const Formula& formula, const Tables& tables,
                                    const Judging& judging) {
  // law or advice, market, product, counted as
  using Key = std::tuple<bool, std::string, std::string, std::string>;
  std::map<Key, CheckedLimit> checked;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    const auto& item = formula.items[i];
    if (!item.listed() || !(item.percent > 0)) continue;
    for (const auto* row : binding_rows(item, formula, tables, judging)) {
      const std::string_view counted_as = row->expressed_as.empty() ? item.ingredient : row->expressed_as;
      const Key key{is_law(*row), row->market, row->product, counted_as};
      auto [place, fresh] = checked.try_emplace(key);
      CheckedLimit& limit = place->second;
      if (fresh) {
        const auto* counted = tables.substance(row->expressed_as);
        limit = {{},
                 0,
                 row->value,
                 std::string(counted ? counted->name : std::string_view()),
                 is_law(*row),
                 std::string(row->market),
                 std::string(row->product),
                 std::string(row->condition),
                 false,
                 std::string(row->provenance.source),
                 std::string(row->provenance.row_id)};
      }
      if (limit.items.empty() || limit.items.back() != i) {  // several conditions count it once
        limit.items.push_back(i);
        limit.percent += percent_as(item, row->expressed_as, tables);
      }
      limit.maximum_percent = std::min(limit.maximum_percent, row->value);
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
