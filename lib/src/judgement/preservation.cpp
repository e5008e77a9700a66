// SPDX-License-Identifier: MIT
#include <counterion/judgement/preservation.hpp>

#include "level_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

constexpr std::array<std::string_view, 4> groups{"gram-positive", "gram-negative", "yeast", "mould"};
constexpr double curve_from = 3, curve_to = 8, curve_step = 0.25;

/// Where the acid's molecules are at a pH, as shares of all of it.
struct Whereabouts {
  double free_neutral = 0;  ///< undissociated and free in the water
  double held = 0;          ///< in oil and micelles
  double out = 0;           ///< as crystals or drops
};

template <class Policy>
Whereabouts whereabouts(const chemistry::Dissolved& part, double ph, const Policy& gamma) {
  const auto in_play = chemistry::contribution(part, std::pow(10.0, -ph), gamma);
  if (!(part.molality > 0)) return {in_play.mean.neutral, 0, 0};
  const double free = in_play.free_neutral;
  const bool saturated = free >= part.neutral.solubility;
  return {free / part.molality,
          free * (part.neutral.elsewhere + part.neutral.paired * free) / part.molality,
          saturated ? 1 - in_play.molality / part.molality : 0};
}

/// Works on the phase's mixture with the activity coefficients of one ionic strength.
template <class Work>
auto at_ionic_strength(const WaterPhase& phase, double ionic_strength, Work&& work) {
  return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
    const auto settled = chemistry::settle(phase.mixture, phase.water, model);
    return work(settled.mixture, settled.model.at(std::sqrt(ionic_strength)));
  });
}

bool is_acid_preservative(const FormulaItem& item, const Tables& tables) {
  return item.listed() && tables.covers("acid-preservative", item.ingredient);
}

bool is_preservative(const FormulaItem& item, const Tables& tables) {
  return item.listed() && item.percent > 0 && has_function(*tables.ingredient(item.ingredient), "preservative");
}

/// The uncharged acids that an ingredient brings.
std::vector<const tables::Substance*> acids_of(std::string_view ingredient, const Tables& tables) {
  std::vector<const tables::Substance*> acids;
  for (const auto& part : material_of(ingredient, tables).parts)
    for (const auto& piece : part.pieces)
      if (piece.substance->kind == tables::SubstanceKind::protolyte && piece.substance->charge == 0)
        acids.push_back(piece.substance);
  return acids;
}

/// A preservative that brings this acid and no other.
std::string_view alone_in(const tables::Substance& acid, const Tables& tables) {
  for (const auto member : tables.members_of("acid-preservative")) {
    const auto acids = acids_of(member, tables);
    if (acids.size() == 1 && acids.front() == &acid) return member;
  }
  return {};
}

/// Collects the acid preservatives of a formula, salts of one acid together.
class Acids {
 public:
  Acids(const Formula& formula, const WaterPhase& phase, const Tables& tables)
      : formula_(formula), phase_(phase), tables_(tables) {
    for (const auto& part : phase.parts)
      if (is_acid_preservative(formula.items[part.item], tables)) add(part);
  }
  std::vector<PreservativeState> states;
  std::vector<std::size_t> protolytes;  ///< of the phase, one a state

 private:
  void add(const WaterPhase::Part& part) {
    for (const auto& [k, mol] : part.protolytes)
      if (phase_.protolytes[k].charge_fully_protonated() == 0 && preserves(part.item, k))
        add(part.item, k, part.molality * mol);
  }
  /// Whether this acid of the line is the preservative and not what came with it.
  bool preserves(std::size_t item, std::size_t k) const {
    const auto acids = acids_of(formula_.items[item].ingredient, tables_);
    return acids.size() == 1 || !alone_in(*phase_.substances[k], tables_).empty();
  }
  void add(std::size_t item, std::size_t k, double molality) {
    const auto known = std::ranges::find(protolytes, k);
    if (known == protolytes.end()) protolytes.push_back(k), states.push_back(fresh(item, k));
    auto& state = states[static_cast<std::size_t>(std::ranges::find(protolytes, k) - protolytes.begin())];
    if (state.items.empty() || state.items.back() != item) state.items.push_back(item);
    state.percent_as_acid += molality * phase_.substances[k]->molar_mass_g_per_mol / 1000 * phase_.water_percent;
  }
  PreservativeState fresh(std::size_t item, std::size_t k) const {
    PreservativeState state;
    state.acid = phase_.substances[k]->id;
    state.acid_name = phase_.substances[k]->name;
    const auto* row = rank_one_level(formula_.items[item].ingredient, "minimum-undissociated", tables_);
    if (!row) row = rank_one_level(alone_in(*phase_.substances[k], tables_), "minimum-undissociated", tables_);
    if (!row) return state;
    state.least_active = row->value;
    state.least_active_upper = row->upper_value;
    state.condition = row->condition;
    state.source = row->provenance.source;
    state.row_id = row->provenance.row_id;
    return state;
  }

  const Formula& formula_;
  const WaterPhase& phase_;
  const Tables& tables_;
};

/// pH above which `amount`, which falls with it, is under `least`; empty when it is so everywhere or nowhere.
template <class Amount>
std::optional<double> highest_ph(const Amount& amount, double least) {
  const auto surplus = [&](double ph) { return amount(ph) - least; };
  if (surplus(0) <= 0 || surplus(14) >= 0) return std::nullopt;
  return chemistry::bracketed_root(surplus, 0.0, 14.0);
}

/// Fills in what depends on the pH.
template <class Policy>
class Activities {
 public:
  Activities(const WaterPhase& phase, const chemistry::Mixture& mixture, const Policy& gamma, const Acids& acids)
      : phase_(phase), mixture_(mixture), gamma_(gamma), acids_(acids) {}

  void fill(Preservation& result, double predicted, std::optional<double> target) const {
    for (std::size_t a = 0; a < result.acids.size(); ++a) fill(a, result.acids[a], predicted, target);
    add_combined(result, predicted, target);
  }

 private:
  Whereabouts at(std::size_t a, double ph) const {
    return whereabouts(mixture_.protolytes[acids_.protolytes[a]], ph, gamma_);
  }
  double active(std::size_t a, double ph) const {
    return acids_.states[a].percent_as_acid / phase_.water_percent * 100 * at(a, ph).free_neutral;
  }
  void fill(std::size_t a, PreservativeState& state, double predicted, std::optional<double> target) const {
    state.share_at_predicted = at(a, predicted).free_neutral;
    state.active_at_predicted = active(a, predicted);
    const Whereabouts there = at(a, target.value_or(predicted));
    state.share_held = there.held;
    state.percent_out = there.out * state.percent_as_acid;
    if (target) state.share_at_target = there.free_neutral, state.active_at_target = active(a, *target);
    const auto amount = [&](double ph) { return active(a, ph); };
    if (state.least_active) state.highest_ph = highest_ph(amount, *state.least_active);
    if (state.least_active_upper) state.firm_highest_ph = highest_ph(amount, *state.least_active_upper);
    for (double ph = curve_from; ph < curve_to + 0.01; ph += curve_step) state.curve.push_back({ph, active(a, ph)});
  }
  /// Sum of the fractions at a pH.
  double fractions(double ph) const {
    double sum = 0;
    for (std::size_t a = 0; a < acids_.states.size(); ++a) {
      if (const auto& least = acids_.states[a].least_active) sum += active(a, ph) / *least;
    }
    return sum;
  }
  void add_combined(Preservation& result, double predicted, std::optional<double> target) const {
    if (std::ranges::count_if(result.acids, [](const auto& state) { return state.least_active.has_value(); }) < 2)
      return;
    result.combined_at_predicted = fractions(predicted);
    if (target) result.combined_at_target = fractions(*target);
    result.combined_highest_ph = highest_ph([&](double ph) { return fractions(ph); }, 1);
  }

  const WaterPhase& phase_;
  const chemistry::Mixture& mixture_;
  const Policy& gamma_;
  const Acids& acids_;
};

bool has_oil(const Formula& formula, const Tables& tables) {
  double percent = 0;
  for (const auto& item : formula.items)
    for (const auto& part : tables.composition_of(item.ingredient))
      if (part.component == "oil") percent += item.percent * part.mass_fraction;
  return percent > 1;
}

/// Oil or micelles that must take some of it, how much being in no table.
void add_unknown_losses(const Formula& formula, const Tables& tables, Preservation& result) {
  const bool oil = has_oil(formula, tables);
  const bool micelles = std::ranges::any_of(formula.items, [&](const FormulaItem& item) {
    return item.listed() && tables.covers("ethoxylated-nonionic", item.ingredient);
  });
  for (auto& state : result.acids) {
    const auto known = [&](std::string_view quantity) {
      return std::ranges::any_of(tables.constants_of(state.acid), [&](const auto& row) { return row.quantity == quantity; });
    };
    if (oil && !known("oil-water-partition")) state.unknown_losses.emplace_back("the oil phase");
    if (micelles && !known("micelle-binding"))
      state.unknown_losses.emplace_back("the micelles of ethoxylated surfactants");
  }
}

void add_others(const Formula& formula, const Tables& tables, Preservation& result) {
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    const auto& item = formula.items[i];
    if (!is_preservative(item, tables) || is_acid_preservative(item, tables)) continue;
    DosedPreservative one{i, item.percent, std::nullopt, std::nullopt, {}, {}};
    if (const auto* row = rank_one_level(item.ingredient, "use-as-preservative-minimum", tables)) {
      one.usual_low = row->value;
      one.usual_high = row->upper_value;
      one.source = row->provenance.source;
      one.row_id = row->provenance.row_id;
    }
    result.others.push_back(std::move(one));
  }
}

bool acts_on(std::string_view group, std::string_view ingredient, const Tables& tables) {
  return tables.covers(fmt::format("acts-on-{}", group), ingredient);
}

/// The lines of preservatives that are there in force.
std::vector<std::size_t> in_force(const Preservation& result) {
  std::vector<std::size_t> items;
  const bool together = result.combined_at_predicted && result.acids_suffice();
  for (const auto& state : result.acids)
    if (together || !state.least_active || state.fraction() >= 1)
      items.insert(items.end(), state.items.begin(), state.items.end());
  for (const auto& other : result.others)
    if (other.enough()) items.push_back(other.item);
  std::ranges::sort(items);
  items.erase(std::unique(items.begin(), items.end()), items.end());
  return items;
}

void add_spectrum(const Formula& formula, const Tables& tables, Preservation& result) {
  const auto items = in_force(result);
  const auto known = [&](std::size_t i) {
    return std::ranges::any_of(groups, [&](auto group) { return acts_on(group, formula.items[i].ingredient, tables); });
  };
  result.spectrum_known = !result.none() && std::ranges::all_of(items, known);
  if (result.none()) return;
  for (const auto group : groups) {
    Coverage coverage{group, {}};
    for (const std::size_t i : items)
      if (acts_on(group, formula.items[i].ingredient, tables)) coverage.items.push_back(i);
    result.spectrum.push_back(std::move(coverage));
  }
}

/// Percent of the formula that is drinking alcohol.
double ethanol_percent(const Formula& formula, const Tables& tables) {
  double percent = 0;
  for (const auto& item : formula.items)
    for (const auto& part : tables.composition_of(item.ingredient))
      if (part.component == "ethanol") percent += item.percent * part.mass_fraction;
  return percent;
}

void add_lower_risk(const Formula& formula, double ph, const Tables& tables, Preservation& result) {
  const double ethanol = ethanol_percent(formula, tables);
  for (const auto& row : tables.levels_of("formula")) {
    const bool applies = row.rank == 1 && ((row.kind == "lower-risk-pH-below" && ph < row.value) ||
                                           (row.kind == "lower-risk-pH-above" && ph > row.value) ||
                                           (row.kind == "lower-risk-alcohol-from" && ethanol > row.value) ||
                                           (row.kind == "lower-risk-water-activity-below" &&
                                            *result.water_activity < row.value));
    if (!applies) continue;
    const std::string what = row.kind.ends_with("alcohol-from")     ? fmt::format("{:.0f} % alcohol", ethanol)
                             : row.kind.ends_with("activity-below") ? fmt::format("water activity about {:.2f}", *result.water_activity)
                                                                    : fmt::format("pH {:.1f}", ph);
    result.lower_risk.push_back({what, std::string(row.provenance.source), std::string(row.provenance.row_id)});
  }
}

/// Raoult's law over everything dissolved.
double water_activity_of(const WaterPhase& phase) {
  constexpr double water_kg_per_mol = 0.018015;
  return 1 / (1 + water_kg_per_mol * phase.mixture.solutes());
}

}  // namespace

double PreservativeState::fraction() const {
  return least_active ? active_at_target.value_or(active_at_predicted) / *least_active : 0;
}

bool Preservation::acids_suffice() const {
  if (const auto combined = combined_at_target ? combined_at_target : combined_at_predicted) return *combined >= 1;
  return std::ranges::any_of(acids, [](const auto& state) { return !state.least_active || state.fraction() >= 1; });
}

double undissociated_share(const WaterPhase& phase, std::string_view substance, double ph,
                           double ionic_strength) {
  const auto k = phase.protolyte(substance);
  if (!k) return 0;
  return at_ionic_strength(phase, ionic_strength, [&](const auto& mixture, const auto& gamma) {
    return whereabouts(mixture.protolytes[*k], ph, gamma).free_neutral;
  });
}

Preservation preservation_of(const Formula& formula, const WaterPhase& phase, const Prediction& prediction,
                             std::optional<double> target, const Tables& tables) {
  Preservation result;
  const Acids acids(formula, phase, tables);
  result.acids = acids.states;
  if (!acids.states.empty())
    at_ionic_strength(phase, prediction.ionic_strength, [&](const auto& mixture, const auto& gamma) {
      Activities(phase, mixture, gamma, acids).fill(result, prediction.ph, target);
    });
  add_unknown_losses(formula, tables, result);
  add_others(formula, tables, result);
  add_spectrum(formula, tables, result);
  result.water_activity = water_activity_of(phase);
  add_lower_risk(formula, target.value_or(prediction.ph), tables, result);
  return result;
}

bool is_full_without_acid(const FormulaItem& item, const Tables& tables) {
  if (!is_preservative(item, tables) || is_acid_preservative(item, tables)) return false;
  const auto* dose = rank_one_level(item.ingredient, "use-as-preservative-minimum", tables);
  return dose && item.percent >= dose->value;
}

}  // namespace counterion
