// SPDX-License-Identifier: MIT
#include <counterion/batch/water_phase.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

using tables::SubstanceKind;

double level_value(std::string_view subject, std::string_view kind, const Tables& tables) {
  for (const auto& row : tables.levels_of(subject))
    if (row.kind == kind && row.rank == 1) return row.value;
  return 0;
}

Protolyte carbonic_acid_of(const Tables& tables) {
  if (const auto* substance = tables.substance("carbonic-acid")) return protolyte_of(*substance, tables);
  throw BadInput({{{}, "the tables have no carbonic-acid", "a row in substances", {}}});
}

/// Puts one formula after another line into a phase that starts empty.
class Builder {
 public:
  Builder(const Formula& formula, const Tables& tables, WaterPhase& phase)
      : formula_(formula), tables_(tables), phase_(phase) {}

  bool build() {
    for (const auto& item : formula_.items) materials_.push_back(material_of(item, tables_));
    for (std::size_t i = 0; i < materials_.size(); ++i)
      phase_.water_percent += formula_.items[i].percent * materials_[i].water_g_per_g;
    if (phase_.water_percent < least_water_percent) return false;
    for (std::size_t i = 0; i < materials_.size(); ++i) add_item(i);
    finish_mixture();
    add_constants();
    add_air();
    return true;
  }

 private:
  /// Grams of an item for one kilogram of water.
  double grams_per_kg_water(std::size_t i) const {
    return formula_.items[i].percent / phase_.water_percent * 1000;
  }
  void add_item(std::size_t i) {
    const double g = grams_per_kg_water(i);
    for (const auto& part : materials_[i].parts) add_part(i, part, g);
    const ResidualCharge& charge = materials_[i].residual;
    phase_.residual_mol_per_kg.push_back(charge.middle_mol_per_g * g);
    if (charge.low_mol_per_g < charge.high_mol_per_g)
      phase_.drivers.push_back({DriverKind::residual_charge, i,
                                fmt::format("{}: {}", name(i), charge.basis), charge.source,
                                charge.row_id, 0, 0,
                                (charge.low_mol_per_g - charge.middle_mol_per_g) * g,
                                (charge.high_mol_per_g - charge.middle_mol_per_g) * g});
  }
  void add_part(std::size_t i, const MaterialPart& part, double g) {
    WaterPhase::Part in_phase{i, part.mol_per_g * g, 0, {}};
    for (const auto& piece : part.pieces) add_piece(piece, in_phase);
    if (part.uncertainty_mol_per_g > 0) {
      const double half = part.uncertainty_mol_per_g * g;
      phase_.drivers.push_back({DriverKind::content, i, fmt::format("{}: its content", name(i)), {},
                                {}, phase_.parts.size(), 0, -half, half});
      cite_composition(i, part.component, phase_.drivers.back());
    }
    phase_.parts.push_back(std::move(in_phase));
  }
  void add_piece(const MaterialPart::Piece& piece, WaterPhase::Part& part) {
    const auto& substance = *piece.substance;
    if (substance.kind == SubstanceKind::protolyte) {
      part.protolytes.emplace_back(index_of(substance), piece.mol_per_mol);
      molality_[part.protolytes.back().first] += piece.mol_per_mol * part.molality;
    } else {
      part.strong_charge_per_mol += substance.charge * piece.mol_per_mol;
      phase_.mixture.add_ion(substance.charge, piece.mol_per_mol * part.molality);
    }
  }
  std::size_t index_of(const tables::Substance& substance) {
    if (const auto known = phase_.protolyte(substance.id)) return *known;
    phase_.substances.push_back(&substance);
    phase_.protolytes.push_back(protolyte_of(substance, tables_));
    molality_.push_back(0);
    return phase_.protolytes.size() - 1;
  }
  void cite_composition(std::size_t i, std::string_view component, Driver& driver) const {
    for (const auto& row : tables_.composition_of(formula_.items[i].ingredient))
      if (row.component == component)
        driver.source = row.provenance.source, driver.row_id = row.provenance.row_id;
  }
  void finish_mixture() {
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    for (std::size_t k = 0; k < molality_.size(); ++k)
      phase_.mixture.protolytes.push_back(
          {molality_[k], chemistry::Ladder(phase_.protolytes[k], kelvin)});
    for (const double charge : phase_.residual_mol_per_kg)
      phase_.mixture.add_ion(charge < 0 ? -1 : 1, std::abs(charge));
  }
  void add_constants() {
    for (std::size_t k = 0; k < phase_.substances.size(); ++k)
      for (const auto& row : tables_.constants_of(phase_.substances[k]->id))
        if (row.quantity == "pK" && row.rank == 1 && row.uncertainty > 0)
          phase_.drivers.push_back(
              {DriverKind::constant, std::nullopt,
               fmt::format("pK {:.2f} of {}", row.value, phase_.substances[k]->name),
               row.provenance.source, row.provenance.row_id, k,
               static_cast<std::size_t>(row.step - 1), -row.uncertainty, row.uncertainty});
  }
  void add_air() {
    for (const auto& row : tables_.levels_of("air"))
      if (row.kind == "dissolved-carbon-dioxide" && row.rank == 1)
        phase_.drivers.push_back({DriverKind::carbon_dioxide, std::nullopt,
                                  "carbon dioxide from the air", row.provenance.source,
                                  row.provenance.row_id, 0, 0, -row.value,
                                  level_value("air", "carbon-dioxide-uptake", tables_)});
  }
  std::string name(std::size_t i) const {
    const auto& item = formula_.items[i];
    return item.listed() ? tables_.display_name(item.ingredient) : item.written;
  }

  const Formula& formula_;
  const Tables& tables_;
  WaterPhase& phase_;
  std::vector<Material> materials_;
  std::vector<double> molality_;
};

}  // namespace

std::optional<std::size_t> WaterPhase::protolyte(std::string_view substance) const {
  for (std::size_t k = 0; k < substances.size(); ++k)
    if (substances[k]->id == substance) return k;
  return std::nullopt;
}

std::optional<WaterPhase> water_phase_of(const Formula& formula, const Tables& tables,
                                         const Conditions& conditions) {
  WaterPhase phase{.substances = {}, .protolytes = {}, .parts = {}, .residual_mol_per_kg = {},
                   .drivers = {}, .mixture = {}, .carbonic_acid = carbonic_acid_of(tables),
                   .conditions = conditions,
                   .water = conditions.water.value_or(
                       chemistry::water_at(in_celsius(conditions.temperature)))};
  if (!Builder(formula, tables, phase).build()) return std::nullopt;
  return phase;
}

chemistry::Addition addition_of(const Material& material, const Tables& tables,
                                const Conditions& conditions) {
  const double kelvin = in_celsius(conditions.temperature) + ice_point_kelvin;
  chemistry::Addition addition;
  for (const auto& part : material.parts)
    for (const auto& piece : part.pieces) {
      const double mol = part.mol_per_g * piece.mol_per_mol;
      if (piece.substance->kind == SubstanceKind::protolyte)
        addition.brings.protolytes.push_back(
            {mol, chemistry::Ladder(protolyte_of(*piece.substance, tables), kelvin)});
      else
        addition.brings.add_ion(piece.substance->charge, mol);
    }
  const double residual = material.residual.middle_mol_per_g;
  addition.brings.add_ion(residual < 0 ? -1 : 1, std::abs(residual));
  addition.water_kg = material.water_g_per_g / 1000;
  return addition;
}

}  // namespace counterion
