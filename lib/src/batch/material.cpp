// SPDX-License-Identifier: MIT
#include <counterion/batch/material.hpp>
#include <counterion/batch/surroundings.hpp>

#include "titrated.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <mutex>
#include <shared_mutex>
#include <unordered_map>

namespace counterion {
namespace {

using tables::SubstanceKind;

const tables::Substance& substance_named(std::string_view id, const Tables& tables) {
  if (const auto* substance = tables.substance(id)) return *substance;
  throw BadInput({{{}, fmt::format("the tables name the substance '{}'", id), "a row in substances", {}}});
}

std::vector<MaterialPart::Piece> pieces_of(const tables::Substance& substance, const Tables& tables) {
  if (substance.kind != SubstanceKind::compound) return {{&substance, 1.0}};
  std::vector<MaterialPart::Piece> pieces;
  for (const auto& row : tables.constants_of(substance.id))
    if (row.quantity == "dissociates-into" && row.rank == 1)
      pieces.push_back({&substance_named(row.partner, tables), row.value});
  return pieces;
}

bool is_bulk(std::string_view component) { return component == "oil" || component == "inert"; }

/// The parts of a listed material; the residual charge is left at nothing.
Material listed_parts(std::string_view ingredient, const Tables& tables) {
  Material material;
  for (const auto& row : tables.composition_of(ingredient)) {
    if (row.component == "water") {
      material.water_g_per_g += row.mass_fraction;
    } else if (!is_bulk(row.component)) {
      const auto& substance = substance_named(row.component, tables);
      const double per_gram = 1 / substance.molar_mass_g_per_mol;
      material.parts.push_back({std::string(row.component), row.mass_fraction * per_gram,
                                row.uncertainty * per_gram, pieces_of(substance, tables)});
    }
  }
  return material;
}

/// The acid of an acid value, whose strength nobody stated: carboxyl groups, pK about 5.
void add_acid_value(const tables::Ingredient& ingredient, Material& material, const Tables& tables) {
  constexpr double mg_potassium_hydroxide_per_mol = 56106;
  if (ingredient.phase == tables::Phase::oil) return;  // what oil holds back is no acid of the water
  for (const auto& row : tables.levels_of(ingredient.id)) {
    if (row.kind != "acid-value" || row.rank != 1) continue;
    const double upper = row.upper_value.value_or(row.value);
    const auto& group = substance_named("buffer-group-5", tables);
    material.parts.push_back({std::string(group.id), (row.value + upper) / 2 / mg_potassium_hydroxide_per_mol,
                              std::max(upper - row.value, 0.1 * upper) / 2 / mg_potassium_hydroxide_per_mol,
                              pieces_of(group, tables)});
  }
}

/// `mass_g` of the material dissolved in a kilogram of water, as the chemistry floor takes it.
std::vector<Amount> amounts_of(const Material& material, double g_per_kg_water, const Tables& tables) {
  std::vector<Amount> amounts;
  for (const auto& part : material.parts)
    for (const auto& piece : part.pieces) {
      const Molality m = mol_per_kg(part.mol_per_g * g_per_kg_water * piece.mol_per_mol);
      if (piece.substance->kind == SubstanceKind::protolyte)
        amounts.push_back({protolyte_of(*piece.substance, tables), m,
                           neutral_form_in({}, *piece.substance, in_mol_per_kg(m), tables).form});
      else if (piece.substance->kind == SubstanceKind::polymer_acid)
        amounts.push_back({polymer_of(*piece.substance, tables), m});
      else
        amounts.push_back({StrongIon{std::string(piece.substance->id), piece.substance->charge}, m});
    }
  return amounts;
}

/// For each part the strong charge that a mole more of it needs for the solution to keep its pH.
std::vector<double> tied_charges(Material material, double g_per_kg_water, double ph, const Tables& tables) {
  constexpr double step = 0.01;
  const auto needed = [&] {
    return in_mol_per_kg(Solution(amounts_of(material, g_per_kg_water, tables)).strong_charge_for(pH(ph)));
  };
  const double usual = needed();
  std::vector<double> tied;
  for (auto& part : material.parts) {
    const double content = part.mol_per_g;
    part.mol_per_g = content * (1 + step);
    tied.push_back(content > 0 ? (needed() - usual) / (content * step * g_per_kg_water) : 0);
    part.mol_per_g = content;
  }
  return tied;
}

/// The strong charge per gram that gives a solution of the material its declared pH.
std::optional<ResidualCharge> charge_from_declared(const Material& material, double low, double high,
                                                   double at_percent, const Tables& tables) {
  const double water_kg = (100 - at_percent + at_percent * material.water_g_per_g) / 1000;
  if (!(water_kg > 0.005) || !(at_percent > 0)) return std::nullopt;
  const Solution solution(amounts_of(material, at_percent / water_kg, tables));
  const auto per_gram = [&](double ph) {
    return in_mol_per_kg(solution.strong_charge_for(pH(ph))) * water_kg / at_percent;
  };
  constexpr double last_digit = 0.1;  // one printed pH is no pH without a span
  const double middle = 0.5 * (low + high), half = std::max(0.5 * (high - low), last_digit);
  return ResidualCharge{per_gram(middle), per_gram(middle - half), per_gram(middle + half), tables::Reliability::own,
                        fmt::format("declared pH {:g} to {:g} at {:g} %", low, high, at_percent), {}, {},
                        tied_charges(material, at_percent / water_kg, middle, tables)};
}

/// The points of the tables' titration as charges that the known parts do not explain.
std::vector<UnexplainedCharge> titrated_points(std::span<const tables::Titration> rows,
                                               const Material& material, const Tables& tables) {
  std::vector<UnexplainedCharge> points;
  for (const auto& row : rows) {
    const double water_kg = (100 - row.at_percent + row.at_percent * material.water_g_per_g) / 1000;
    const double added = row.added_meq_per_g / 1000;
    const Solution solution(amounts_of(material, row.at_percent / water_kg, tables));
    const double needed = in_mol_per_kg(solution.strong_charge_for(pH(row.ph))) * water_kg / row.at_percent;
    points.push_back({row.ph, in_mol_per_kg(solution.ionic_strength()) + std::abs(added) * row.at_percent / water_kg,
                      needed - added});
  }
  return points;
}

/// Lays into a material what its titration found: buffering groups and a strong charge.
void add_titration(std::span<const tables::Titration> rows, Material& material, const Tables& tables) {
  const auto found = explain(titrated_points(rows, material, tables));
  for (std::size_t i = 0; i < found.mol_per_g.size(); ++i) {
    if (!(found.mol_per_g[i] > 0)) continue;
    const auto id = fmt::format("buffer-group-{}", first_group_pK + static_cast<int>(i));
    material.parts.push_back({id, found.mol_per_g[i], 0.05 * found.mol_per_g[i],
                              pieces_of(substance_named(id, tables), tables)});
  }
  const double s = found.strong_charge_mol_per_g;
  const double half = std::max(2 * found.rms_mol_per_g, 0.02 * std::abs(s));
  material.residual = {s, s - half, s + half, rows[0].provenance.reliability,
                       fmt::format("a titration of {} points", rows.size()),
                       std::string(rows[0].provenance.source), std::string(rows[0].provenance.row_id), {}};
}

std::optional<ResidualCharge> declared_in_tables(std::string_view ingredient, const Material& material,
                                                 const Tables& tables) {
  for (const auto& row : tables.ranges_of(ingredient)) {
    if (row.kind != "as-supplied" || row.rank != 1 || !row.minimum || !row.maximum) continue;
    auto charge = charge_from_declared(material, *row.minimum, *row.maximum,
                                       row.at_percent.value_or(100), tables);
    if (!charge) continue;
    charge->reliability = row.provenance.reliability;
    charge->source = row.provenance.source;
    charge->row_id = row.provenance.row_id;
    return charge;
  }
  return std::nullopt;
}

std::optional<ResidualCharge> level_in_tables(std::string_view subject, const Tables& tables) {
  for (const auto& row : tables.levels_of(subject)) {
    if (row.kind != "residual-charge" || row.rank != 1) continue;
    const double low = row.value / 1000, high = row.upper_value.value_or(row.value) / 1000;
    const bool one_sign = low * high > 0;
    const double middle = one_sign ? std::copysign(std::sqrt(low * high), low) : 0;
    return ResidualCharge{middle, low, high, row.provenance.reliability,
                          fmt::format("acidity or alkalinity {:g} to {:g} meq/g", low * 1000, high * 1000),
                          std::string(row.provenance.source), std::string(row.provenance.row_id), {}};
  }
  return std::nullopt;
}

double width(const ResidualCharge& charge) { return charge.high_mol_per_g - charge.low_mol_per_g; }

/// What two statements leave together, cited as the narrower. Where they exclude one another the
/// narrower alone counts, or what a user measured; and two that barely touch make nothing surer than
/// half of the narrower is.
ResidualCharge combined(const ResidualCharge& a, const ResidualCharge& b) {
  constexpr double least_share = 0.5;
  const bool a_owns = a.reliability == tables::Reliability::own;
  const bool b_owns = b.reliability == tables::Reliability::own;
  ResidualCharge both = width(a) <= width(b) ? a : b;
  double low = std::max(a.low_mol_per_g, b.low_mol_per_g);
  double high = std::min(a.high_mol_per_g, b.high_mol_per_g);
  if (low > high) return a_owns != b_owns ? (a_owns ? a : b) : both;
  const double missing = std::max(0.0, least_share * width(both) - (high - low));
  low = std::max(both.low_mol_per_g, low - missing);
  high = std::min(both.high_mol_per_g, std::max(high, low + least_share * width(both)));
  both.low_mol_per_g = low;
  both.high_mol_per_g = high;
  both.middle_mol_per_g = std::clamp(both.middle_mol_per_g, low, high);
  return both;
}

/// What the tables say of it altogether; their default stands in only where nothing else does,
/// or where a declared pH leaves room for no residue at all (a strong buffer declares nothing).
ResidualCharge residual_of(const tables::Ingredient& ingredient, const Material& material,
                           const Tables& tables) {
  const auto declared = declared_in_tables(ingredient.id, material, tables);
  auto level = level_in_tables(ingredient.id, tables);
  const bool silent = !declared || (declared->low_mol_per_g <= 0 && declared->high_mol_per_g >= 0);
  const bool in_water = ingredient.phase != tables::Phase::oil;
  if (!level && silent && in_water) level = level_in_tables("default", tables);
  if (!declared) return level.value_or(ResidualCharge{});
  return level ? combined(*declared, *level) : *declared;
}

}  // namespace

Protolyte protolyte_of(const tables::Substance& substance, const Tables& tables) {
  std::vector<Ionisation> steps;
  for (const auto& row : tables.constants_of(substance.id))
    if (row.quantity == "pK" && row.rank == 1)
      steps.push_back({row.value, row.dH_kJ_per_mol.value_or(0), row.dCp_J_per_mol_K.value_or(0),
                       row.uncertainty});
  return Protolyte(substance.charge, std::move(steps), std::string(substance.id));
}

AcidPolymer polymer_of(const tables::Substance& substance, const Tables& tables) {
  AcidPolymer polymer;
  polymer.name = substance.id;
  if (const auto* row = tables.constant(substance.id, "polymer-pK0")) polymer.pK0 = row->value;
  if (const auto* row = tables.constant(substance.id, "polymer-site-spacing"))
    polymer.spacing_angstrom = row->value;
  return polymer;
}

namespace {

Material made_ready(const tables::Ingredient* row, const Tables& tables) {
  Material material = listed_parts(row->id, tables);
  add_acid_value(*row, material, tables);
  const auto titration = tables.titrations_of(row->id);
  if (titration.empty()) material.residual = residual_of(*row, material, tables);
  else add_titration(titration, material, tables);
  return material;
}

/// Materials of one set of tables, by id.
class MaterialShelf {
 public:
  template <class Make>
  const Material& get(std::string_view id, Make&& make) const {
    if (const auto* known = find(id)) return *known;
    auto fresh = std::make_unique<const Material>(make());  // two threads may make the same; one is kept
    const std::unique_lock lock(mutex_);
    return *materials_.try_emplace(id, std::move(fresh)).first->second;
  }

 private:
  const Material* find(std::string_view id) const {
    const std::shared_lock lock(mutex_);
    const auto found = materials_.find(id);
    return found == materials_.end() ? nullptr : found->second.get();
  }
  mutable std::shared_mutex mutex_;
  mutable std::unordered_map<std::string_view, std::unique_ptr<const Material>> materials_;
};

}  // namespace

const Material& material_of(std::string_view ingredient, const Tables& tables) {
  const auto* row = tables.ingredient(ingredient);
  if (!row) throw UnknownIngredient(std::string(ingredient), tables.nearest_names(ingredient));
  return tables.derived<MaterialShelf>().get(row->id, [&] { return made_ready(row, tables); });
}

Material material_of(const FormulaItem& item, const Tables& tables) {
  Material material;
  if (item.listed()) {
    material = material_of(item.ingredient, tables);
  } else {
    material.residual = level_in_tables("unlisted", tables).value_or(ResidualCharge{});
  }
  if (!item.declared_ph_low || !item.declared_ph_high) return material;
  const auto declared =
      charge_from_declared(material, *item.declared_ph_low, *item.declared_ph_high,
                           item.declared_at_percent.value_or(10), tables);
  if (declared) material.residual = *declared;
  return material;
}

}  // namespace counterion
