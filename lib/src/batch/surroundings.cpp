// SPDX-License-Identifier: MIT
#include <counterion/batch/surroundings.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion {
namespace {

constexpr std::array<std::string_view, 3> known_oils = {"ester-oil", "mineral-oil", "vegetable-oil"};
constexpr std::string_view unknown_oil = "unknown-oil";
constexpr std::array<std::string_view, 2> micelle_formers = {"nonionic-ethoxylate", "polysorbate"};

std::string_view kind_of_oil(std::string_view ingredient, const Tables& tables) {
  for (const auto kind : known_oils)
    if (tables.covers(kind, ingredient)) return kind;
  return unknown_oil;
}

bool is_solvent(std::string_view substance, const Tables& tables) {
  return tables.constant(substance, "solvent-shift", "neutral-acid", 1) != nullptr;
}

/// What one solvent does to one step: a w + b w², w its mass fraction.
struct PKShift {
  double value = 0, uncertainty = 0;

  PKShift(std::string_view solvent, std::string_view what, double w, const Tables& tables) {
    const auto* a = tables.constant(solvent, "solvent-shift", what, 1);
    const auto* b = tables.constant(solvent, "solvent-shift", what, 2);
    if (a) value += a->value * w, uncertainty = std::hypot(uncertainty, a->uncertainty * w);
    if (b) value += b->value * w * w, uncertainty = std::hypot(uncertainty, b->uncertainty * w * w);
  }
};

/// The row that speaks of this step: the substance's own, or that of acids of its charge.
std::string_view shifted_kind(std::string_view solvent, const tables::Substance& substance, int charge,
                              std::size_t step, const Tables& tables) {
  if (step == 0 && tables.constant(solvent, "solvent-shift", substance.id, 1)) return substance.id;
  return charge > 0 ? "cationic-acid" : charge == 0 ? "neutral-acid" : "anionic-acid";
}

/// Sums what holds the neutral form, weighing each uncertainty by its part.
class Holding {
 public:
  void add(const tables::Constant& row, double held) {
    held_ += held;
    weighed_ += held * row.uncertainty;
    if (held > largest_) {
      largest_ = held;
      shared.source = row.provenance.source;
      shared.row_id = row.provenance.row_id;
    }
  }
  SharedNeutralForm result() {
    shared.form.elsewhere = held_;
    shared.decades = held_ > 0 ? weighed_ / held_ : 0;
    return shared;
  }
  SharedNeutralForm shared;

 private:
  double held_ = 0, weighed_ = 0, largest_ = 0;
};

bool can_be_neutral(const tables::Substance& substance, const Tables& tables) {
  const int steps = static_cast<int>(std::ranges::count_if(
      tables.constants_of(substance.id),
      [](const tables::Constant& row) { return row.quantity == "pK" && row.rank == 1; }));
  return substance.charge >= 0 && substance.charge <= steps;
}

}  // namespace

double Surroundings::solvent_fraction(std::string_view substance) const {
  double all = 1000;
  for (const auto& [name, grams] : solvent_grams) all += grams;
  const auto found = solvent_grams.find(substance);
  return found == solvent_grams.end() ? 0 : found->second / all;
}

double Surroundings::solvent_fraction() const {
  double sum = 0;
  for (const auto& [name, grams] : solvent_grams) sum += solvent_fraction(name);
  return sum;
}

void add_to(Surroundings& surroundings, std::string_view ingredient, const Material& material, double grams,
            const Tables& tables) {
  const bool forms_micelles = std::ranges::any_of(
      micelle_formers, [&](std::string_view kind) { return tables.covers(kind, ingredient); });
  for (const auto& row : tables.composition_of(ingredient))
    if (row.component == "oil" && !forms_micelles)  // what it holds is counted once, in its micelles
      surroundings.oil_litres[std::string(kind_of_oil(ingredient, tables))] +=
          grams * row.mass_fraction * litres_per_gram_of_oil;
  for (const auto kind : micelle_formers)
    if (tables.covers(kind, ingredient)) surroundings.surfactant_percent[std::string(kind)] += grams / 10;
  for (const auto& part : material.parts)
    if (const auto* substance = tables.substance(part.component);
        substance && is_solvent(substance->id, tables))
      surroundings.solvent_grams[std::string(substance->id)] += grams * part.mol_per_g * substance->molar_mass_g_per_mol;
}

Protolyte protolyte_in(const Surroundings& surroundings, const tables::Substance& substance,
                       const Tables& tables) {
  Protolyte bare = protolyte_of(substance, tables);
  if (surroundings.solvent_grams.empty()) return bare;
  auto steps = bare.steps();
  for (const auto& [solvent, grams] : surroundings.solvent_grams)
    for (std::size_t j = 0; j < steps.size(); ++j) {
      const int charge = substance.charge - static_cast<int>(j);
      const auto kind = shifted_kind(solvent, substance, charge, j, tables);
      const PKShift shift(solvent, kind, surroundings.solvent_fraction(solvent), tables);
      steps[j].pK += shift.value;
      steps[j].uncertainty = std::hypot(steps[j].uncertainty, shift.uncertainty);
    }
  return Protolyte(substance.charge, std::move(steps), std::string(substance.id));
}

Ionisation shifted_in(const Surroundings& surroundings, Ionisation neutral_acid, const Tables& tables) {
  for (const auto& [solvent, grams] : surroundings.solvent_grams) {
    const PKShift shift(solvent, "neutral-acid", surroundings.solvent_fraction(solvent), tables);
    neutral_acid.pK += shift.value;
    neutral_acid.uncertainty = std::hypot(neutral_acid.uncertainty, shift.uncertainty);
  }
  return neutral_acid;
}

SharedNeutralForm neutral_form_in(const Surroundings& surroundings, const tables::Substance& substance,
                                  double molality, const Tables& tables) {
  if (!can_be_neutral(substance, tables)) return {};
  Holding holding;
  double paired = 0;
  for (const auto& [kind, litres] : surroundings.oil_litres) {
    const auto* row = tables.constant(substance.id, "oil-water-partition", kind);
    if (!row) row = tables.constant(substance.id, "oil-water-partition", unknown_oil);
    if (!row) continue;
    holding.add(*row, row->value * litres);
    if (const auto* pairing = tables.constant(substance.id, "oil-dimerisation", kind))
      paired += shared_with_oil(row->value, litres, pairing->value).paired;
  }
  for (const auto& [kind, percent] : surroundings.surfactant_percent)
    if (const auto* row = tables.constant(substance.id, "micelle-binding", kind))
      holding.add(*row, row->value * percent);
  SharedNeutralForm shared = holding.result();
  shared.form.paired = paired;
  const auto* row = tables.constant(substance.id, "neutral-solubility");
  if (row && molality > row->value && surroundings.solvent_fraction() <= most_solvent_for_solubility) {
    shared.form.solubility = row->value;
    shared.solubility_row = row;
  }
  return shared;
}

}  // namespace counterion
