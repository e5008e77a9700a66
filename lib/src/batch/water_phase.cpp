// SPDX-License-Identifier: MIT
#include <counterion/batch/adjusted_formula.hpp>
#include <counterion/batch/water_phase.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <mutex>

namespace counterion {
namespace {

using tables::SubstanceKind;

/// The ion that a row means by a substance and the protons that it has lost.
Ion form_of(std::string_view id, int lost, const Tables& tables) {
  const auto* substance = tables.substance(id);
  return {std::string(id), substance ? substance->charge - lost : 0};
}

int protons_lost(std::string_view partner) {
  const auto colon = partner.find(':');
  return colon == partner.npos ? 0 : std::atoi(std::string(partner.substr(colon + 1)).c_str());
}

double level_value(std::string_view subject, std::string_view kind, const Tables& tables) {
  for (const auto& row : tables.levels_of(subject))
    if (row.kind == kind && row.rank == 1) return row.value;
  return 0;
}

Protolyte carbonic_acid_of(const Tables& tables) {
  if (const auto* substance = tables.substance("carbonic-acid")) return protolyte_of(*substance, tables);
  throw BadInput({{{}, "the tables have no carbonic-acid", "a row in substances", {}}});
}

/// Whether the ionic strength can pass the limit of Davies' equation.
bool may_be_concentrated(const chemistry::Mixture& mixture) {
  double most = mixture.strong_ionic;
  for (const auto& part : mixture.protolytes) {
    const int z = part.ladder.largest_charge();
    most += 0.5 * z * z * part.molality;
  }
  return most > chemistry::davies_limit;
}

/// Puts one formula after another line into a phase that starts empty.
class Builder {
 public:
  Builder(const Formula& formula, const Tables& tables, Sureness sureness, double scale_g, WaterPhase& phase)
      : formula_(formula), tables_(tables), with_drivers_(sureness == Sureness::known), scale_g_(scale_g),
        phase_(phase) {}

  bool build() {
    declared_.reserve(formula_.items.size());
    for (const auto& item : formula_.items) materials_.push_back(material_for(item));
    for (std::size_t i = 0; i < materials_.size(); ++i)
      phase_.water_percent += formula_.items[i].percent * materials_[i]->water_g_per_g;
    if (phase_.water_percent < least_water_percent) return false;
    for (std::size_t i = 0; i < materials_.size(); ++i) add_item(i);
    finish_mixture();
    if (!with_drivers_) return true;
    add_constants();
    add_air();
    return true;
  }

 private:
  /// The tables' own, or one made for a line that declares something.
  const Material* material_for(const FormulaItem& item) {
    if (item.listed() && !item.declared_ph_low) return &material_of(item.ingredient, tables_);
    return &declared_.emplace_back(material_of(item, tables_));
  }
  /// Grams of an item for one kilogram of water.
  double grams_per_kg_water(std::size_t i) const {
    return formula_.items[i].percent / phase_.water_percent * 1000;
  }
  void add_item(std::size_t i) {
    const double g = grams_per_kg_water(i);
    for (std::size_t part = 0; part < materials_[i]->parts.size(); ++part) add_part(i, part, g);
    const ResidualCharge& charge = materials_[i]->residual;
    phase_.residual_mol_per_kg.push_back(charge.middle_mol_per_g * g);
    add_to(phase_.surroundings, formula_.items[i].ingredient, *materials_[i], g, tables_);
    if (with_drivers_ && charge.low_mol_per_g < charge.high_mol_per_g)
      phase_.drivers.push_back({DriverKind::residual_charge, i,
                                fmt::format("{}: {}", name(i), charge.basis), charge.source,
                                charge.row_id, 0, 0, 0, charge.reliability == tables::Reliability::assumption,
                                (charge.low_mol_per_g - charge.middle_mol_per_g) * g,
                                (charge.high_mol_per_g - charge.middle_mol_per_g) * g});
    if (with_drivers_) add_portion(i);
  }
  /// How much of a line is really there: nine in ten weighings lie within 0.45 steps of the scale, and a stock of
  /// an adjuster is not quite as strong as it is called.
  void add_portion(std::size_t i) {
    constexpr double worth_it = 0.002;
    const auto& item = formula_.items[i];
    const double grams = item.percent / 100 * formula_.batch_g;
    const bool is_adjuster = item.note == adjuster_note;
    if (!is_adjuster && (materials_[i]->parts.empty() || !(grams > 0))) return;
    const double weighing = grams > 0 ? 0.45 * scale_g_ / grams : 0;
    const double stock = is_adjuster ? level_value("batch", "stock-strength-tolerance", tables_) / 100 : 0;
    const double half = std::min(0.9, std::hypot(weighing, stock));
    if (half < worth_it) return;
    phase_.drivers.push_back({DriverKind::portion, i,
                              fmt::format("{}: {}", name(i), is_adjuster ? "the strength of its stock"
                                                                         : "weighing it"), {}, {}, 0, 0, 0, false, -half, half});
  }
  void add_part(std::size_t i, std::size_t at, double g) {
    const auto& part = materials_[i]->parts[at];
    WaterPhase::Part in_phase{i, part.mol_per_g * g, 0, {}, {}, component_of(part)};
    for (const auto& piece : part.pieces) add_piece(piece, in_phase);
    if (with_drivers_ && part.uncertainty_mol_per_g > 0) {
      const double half = part.uncertainty_mol_per_g * g;
      phase_.drivers.push_back({DriverKind::content, i, fmt::format("{}: its content", name(i)), {},
                                {}, phase_.parts.size(), 0, tied_charge(i, at), false, -half, half});
      cite_composition(i, part.component, phase_.drivers.back());
    }
    phase_.parts.push_back(std::move(in_phase));
  }
  const tables::Substance* component_of(const MaterialPart& part) const {
    const bool whole = part.pieces.size() == 1 && part.pieces[0].substance->id == part.component;
    return whole ? part.pieces[0].substance : tables_.substance(part.component);
  }
  /// What keeps a declared pH where it was declared, were there more of a part.
  double tied_charge(std::size_t i, std::size_t part) const {
    const auto& tied = materials_[i]->residual.tied_per_mol;
    return part < tied.size() ? tied[part] : 0;
  }
  void add_piece(const MaterialPart::Piece& piece, WaterPhase::Part& part) {
    const auto& substance = *piece.substance;
    if (substance.kind == SubstanceKind::protolyte) {
      part.protolytes.emplace_back(index_of(substance), piece.mol_per_mol);
      molality_[part.protolytes.back().first] += piece.mol_per_mol * part.molality;
    } else if (substance.kind == SubstanceKind::polymer_acid) {
      part.polymers.emplace_back(polymer_index_of(substance), piece.mol_per_mol);
      phase_.mixture.polymers[part.polymers.back().first].molality += piece.mol_per_mol * part.molality;
    } else {
      part.strong_charge_per_mol += substance.charge * piece.mol_per_mol;
      phase_.mixture.add_ion(substance.charge, piece.mol_per_mol * part.molality, std::string(substance.id));
    }
  }
  std::size_t index_of(const tables::Substance& substance) {
    if (const auto known = phase_.protolyte(substance.id)) return *known;
    phase_.substances.push_back(&substance);
    phase_.protolytes.push_back(protolyte_of(substance, tables_));
    molality_.push_back(0);
    return phase_.protolytes.size() - 1;
  }
  std::size_t polymer_index_of(const tables::Substance& substance) {
    auto& known = phase_.polymer_substances;
    const auto found = std::find(known.begin(), known.end(), &substance);
    if (found != known.end()) return static_cast<std::size_t>(found - known.begin());
    known.push_back(&substance);
    phase_.mixture.polymers.push_back({0, polymer_of(substance, tables_)});
    return known.size() - 1;
  }
  void cite_composition(std::size_t i, std::string_view component, Driver& driver) const {
    for (const auto& row : tables_.composition_of(formula_.items[i].ingredient))
      if (row.component == component)
        driver.source = row.provenance.source, driver.row_id = row.provenance.row_id;
  }
  void finish_mixture() {
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    for (std::size_t k = 0; k < molality_.size(); ++k) {
      const auto& substance = *phase_.substances[k];
      phase_.protolytes[k] = protolyte_in(phase_.surroundings, substance, tables_);
      const auto shared = neutral_form_in(phase_.surroundings, substance, molality_[k], tables_);
      phase_.mixture.protolytes.push_back(
          {molality_[k], chemistry::Ladder(phase_.protolytes[k], kelvin), shared.form});
      if (!with_drivers_) continue;
      if (shared.decades > 0)
        phase_.drivers.push_back({DriverKind::partition, std::nullopt,
                                  fmt::format("how much {} oil and micelles hold", substance.name),
                                  shared.source, shared.row_id, k, 0, 0, false, -shared.decades, shared.decades});
      if (const auto* row = shared.solubility_row)
        phase_.drivers.push_back({DriverKind::solubility, std::nullopt,
                                  fmt::format("how much {} the water dissolves", substance.name),
                                  std::string(row->provenance.source),
                                  std::string(row->provenance.row_id), k, 0, 0, false,
                                  -std::min(row->uncertainty, 0.9 * row->value), row->uncertainty});
    }
    for (auto& part : phase_.mixture.polymers) {
      const Ionisation moved = shifted_in(phase_.surroundings, {part.polymer.pK0, 0, 0, 0}, tables_);
      part.polymer.pK0 = moved.pK;
      polymer_shift_uncertainty_ = moved.uncertainty;
    }
    for (const double charge : phase_.residual_mol_per_kg)
      phase_.mixture.add_strong_charge(charge);
  }
  void add_constants() {
    for (std::size_t k = 0; k < phase_.substances.size(); ++k)
      for (const auto& row : tables_.constants_of(phase_.substances[k]->id))
        if (row.quantity == "pK" && row.rank == 1) add_constant(k, row);
    for (std::size_t k = 0; k < phase_.polymer_substances.size(); ++k)
      if (const auto* row = tables_.constant(phase_.polymer_substances[k]->id, "polymer-pK0"))
        phase_.drivers.push_back({DriverKind::polymer_constant, std::nullopt,
                                  fmt::format("pK {:.2f} of {}", row->value,
                                              phase_.polymer_substances[k]->name),
                                  std::string(row->provenance.source),
                                  std::string(row->provenance.row_id), k, 0, 0, false,
                                  -std::hypot(row->uncertainty, polymer_shift_uncertainty_),
                                  std::hypot(row->uncertainty, polymer_shift_uncertainty_)});
  }
  /// What an unknown enthalpy can do away from 25 °C: about 50 kJ/mol for amines, 15 for acids (assumption).
  double unknown_enthalpy(std::size_t k, const tables::Constant& row) const {
    if (row.dH_kJ_per_mol) return 0;
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    const double joule = phase_.substances[k]->charge - (row.step - 1) > 0 ? 50e3 : 15e3;
    return joule * std::abs(1 / chemistry::reference_kelvin - 1 / kelvin) /
           (chemistry::gas_constant_J_per_mol_K * chemistry::ln10);
  }
  void add_constant(std::size_t k, const tables::Constant& row) {
    const auto step = static_cast<std::size_t>(row.step - 1);
    const Ionisation& here = phase_.protolytes[k].steps()[step];
    const double half = std::hypot(here.uncertainty, unknown_enthalpy(k, row));
    if (!(half > 0)) return;
    const bool moved = std::abs(here.pK - row.value) > 0.005;
    phase_.drivers.push_back(
        {DriverKind::constant, std::nullopt,
         fmt::format("pK {:.2f}{} of {}", here.pK,
                     moved ? fmt::format(", in plain water {:.2f},", row.value) : std::string(),
                     phase_.substances[k]->name),
         std::string(row.provenance.source), std::string(row.provenance.row_id), k, step, 0, false, -half, half});
  }
  /// Henry's law at the phase's temperature, and the air's pressure of the gas.
  void add_air() {
    const auto* henry = tables_.constant("carbonic-acid", "henry-constant", "air");
    const auto* pressure = tables_.constant("carbonic-acid", "partial-pressure", "air");
    if (!henry || !pressure) return;
    const Ionisation dissolution{-std::log10(henry->value), henry->dH_kJ_per_mol.value_or(0),
                                 henry->dCp_J_per_mol_K.value_or(0)};
    const double kelvin = in_celsius(phase_.conditions.temperature) + ice_point_kelvin;
    const double dissolved = pressure->value * std::pow(10.0, -chemistry::pK_at(dissolution, kelvin));
    phase_.drivers.push_back({DriverKind::carbon_dioxide, std::nullopt, "carbon dioxide from the air",
                              std::string(henry->provenance.source),
                                  std::string(henry->provenance.row_id), 0, 0, 0, false, -dissolved,
                              level_value("air", "carbon-dioxide-uptake", tables_)});
  }
  std::string name(std::size_t i) const {
    const auto& item = formula_.items[i];
    return item.listed() ? tables_.display_name(item.ingredient) : item.written;
  }

  const Formula& formula_;
  const Tables& tables_;
  const bool with_drivers_;
  const double scale_g_;
  WaterPhase& phase_;
  std::vector<const Material*> materials_;
  std::vector<Material> declared_;
  std::vector<double> molality_;
  double polymer_shift_uncertainty_ = 0;
};

}  // namespace

std::optional<std::size_t> WaterPhase::protolyte(std::string_view substance) const {
  for (std::size_t k = 0; k < substances.size(); ++k)
    if (substances[k]->id == substance) return k;
  return std::nullopt;
}

std::optional<WaterPhase> water_phase_of(const Formula& formula, const Tables& tables,
                                         const Conditions& conditions, Sureness sureness, double scale_g) {
  WaterPhase phase{.substances = {}, .protolytes = {}, .polymer_substances = {}, .parts = {},
                   .surroundings = {}, .residual_mol_per_kg = {}, .drivers = {}, .learned = {}, .mixture = {},
                   .carbonic_acid = carbonic_acid_of(tables),
                   .conditions = conditions,
                   .water = conditions.water.value_or(
                       chemistry::water_at(in_celsius(conditions.temperature)))};
  if (!Builder(formula, tables, sureness, scale_g, phase).build()) return std::nullopt;
  const bool told_apart = conditions.activity == Activity::specific_ion || may_be_concentrated(phase.mixture);
  if (told_apart && !conditions.interactions) phase.conditions.interactions = interactions_of(tables);
  return phase;
}

namespace {

AcidPolymer polymer_in(const Surroundings& surroundings, const tables::Substance& substance,
                       const Tables& tables) {
  AcidPolymer polymer = polymer_of(substance, tables);
  polymer.pK0 = shifted_in(surroundings, {polymer.pK0, 0, 0, 0}, tables).pK;
  return polymer;
}

}  // namespace

chemistry::Addition addition_of(const Material& material, const WaterPhase& phase, const Tables& tables) {
  const double kelvin = in_celsius(phase.conditions.temperature) + ice_point_kelvin;
  chemistry::Addition addition;
  for (const auto& part : material.parts)
    for (const auto& piece : part.pieces) {
      const double mol = part.mol_per_g * piece.mol_per_mol;
      const auto& substance = *piece.substance;
      if (substance.kind == SubstanceKind::protolyte)
        addition.brings.protolytes.push_back(
            {mol, chemistry::Ladder(protolyte_in(phase.surroundings, substance, tables), kelvin),
             neutral_form_in(phase.surroundings, substance, 0, tables).form});
      else if (substance.kind == SubstanceKind::polymer_acid)
        addition.brings.polymers.push_back({mol, polymer_in(phase.surroundings, substance, tables)});
      else
        addition.brings.add_ion(substance.charge, mol, std::string(substance.id));
    }
  addition.brings.add_strong_charge(material.residual.middle_mol_per_g);
  addition.water_kg = material.water_g_per_g / 1000;
  return addition;
}

void add_unlisted_charge(WaterPhase& phase, const Formula& formula, const Tables& tables) {
  double other = 100 - phase.water_percent;
  for (const auto& item : formula.items)
    for (const auto& part : tables.composition_of(item.ingredient))
      if (part.component == "oil") other -= item.percent * part.mass_fraction;
  const double half = level_value("batch", "unlisted-charge", tables) * std::max(0.0, other) / phase.water_percent;
  phase.drivers.push_back({DriverKind::unlisted_charge, std::nullopt, "acid or alkali that no line accounts for",
                           "assumption", "levels/batch/unlisted-charge", 0, 0, 0, false, -half, half});
}

std::size_t buffer_group_in(WaterPhase& phase, int pK, const Tables& tables) {
  const auto id = fmt::format("buffer-group-{}", pK);
  if (const auto known = phase.protolyte(id)) return *known;
  const auto* substance = tables.substance(id);
  if (!substance) throw BadInput({{{}, fmt::format("the tables have no {}", id), "a row in substances", {}}});
  const double kelvin = in_celsius(phase.conditions.temperature) + ice_point_kelvin;
  phase.substances.push_back(substance);
  phase.protolytes.push_back(protolyte_of(*substance, tables));
  phase.mixture.protolytes.push_back({0, chemistry::Ladder(phase.protolytes.back(), kelvin)});
  return phase.substances.size() - 1;
}

std::size_t place_of_protolyte(WaterPhase& phase, const tables::Substance& substance, double most, const Tables& tables) {
  const auto form = neutral_form_in(phase.surroundings, substance, most, tables).form;
  if (const auto known = phase.protolyte(substance.id)) {
    auto& neutral = phase.mixture.protolytes[*known].neutral;
    if (!std::isfinite(neutral.solubility)) neutral.solubility = form.solubility;
    return *known;
  }
  const double kelvin = in_celsius(phase.conditions.temperature) + ice_point_kelvin;
  phase.substances.push_back(&substance);
  phase.protolytes.push_back(protolyte_in(phase.surroundings, substance, tables));
  phase.mixture.protolytes.push_back({0, chemistry::Ladder(phase.protolytes.back(), kelvin), form});
  return phase.substances.size() - 1;
}

namespace {

Interactions interactions_in(const Tables& tables) {
  std::vector<Interaction> all;
  for (const auto& row : tables.constants())
    if (row.quantity == "specific-ion-interaction" && row.rank == 1)
      all.push_back({form_of(row.substance, row.step, tables),
                     form_of(row.partner.substr(0, row.partner.find(':')), protons_lost(row.partner), tables),
                     row.value});
  return Interactions(all);
}

/// The interactions of one set of tables, made when they are first asked for.
class InteractionShelf {
 public:
  std::shared_ptr<const Interactions> of(const Tables& tables) const {
    std::call_once(once_, [&] { interactions_ = std::make_shared<const Interactions>(interactions_in(tables)); });
    return interactions_;
  }

 private:
  mutable std::once_flag once_;
  mutable std::shared_ptr<const Interactions> interactions_;
};

}  // namespace

std::shared_ptr<const Interactions> interactions_of(const Tables& tables) {
  return tables.derived<InteractionShelf>().of(tables);
}

}  // namespace counterion
