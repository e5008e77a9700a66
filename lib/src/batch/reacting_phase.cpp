// SPDX-License-Identifier: MIT
#include "reacting_phase.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::kinetics {
namespace {

using tables::SubstanceKind;

std::span<const TimedReaction> reactions_of_part(const Formula& formula,
                                                 const WaterPhase::Part& part,
                                                 const Tables& tables) {
  if (part.item >= formula.items.size()) return {};
  return reactions_of(formula.items[part.item].ingredient, part.component, tables);
}

/// Adds to a part what `moles` of another bring, for each mole of it.
void add_to(WaterPhase::Part& part, const WaterPhase::Part& turnover, double moles) {
  for (const auto& [k, mol] : turnover.protolytes) {
    const auto known =
        std::ranges::find(part.protolytes, k, &std::pair<std::size_t, double>::first);
    if (known == part.protolytes.end())
      part.protolytes.emplace_back(k, moles * mol);
    else
      known->second += moles * mol;
  }
  part.strong_charge_per_mol += moles * turnover.strong_charge_per_mol;
}

/// Strong ions that come or go count as sodium or chloride.
void change(chemistry::Mixture& mixture, const WaterPhase::Part& turnover, double molality) {
  for (const auto& [k, mol] : turnover.protolytes) {
    double& amount = mixture.protolytes[k].molality;
    amount = std::max(0.0, amount + mol * molality);
  }
  if (turnover.strong_charge_per_mol != 0)
    mixture.add_strong_charge(turnover.strong_charge_per_mol * molality);
}

}  // namespace

bool reacts(const Formula& formula, const WaterPhase& phase, const Tables& tables) {
  return std::ranges::any_of(phase.parts, [&](const auto& part) {
    return part.molality > 0 && !reactions_of_part(formula, part, tables).empty();
  });
}

ReactingPhase::ReactingPhase(const Formula& formula, WaterPhase phase, const Tables& tables)
    : phase_(std::move(phase)) {
  for (std::size_t part = 0; part < phase_.parts.size(); ++part)
    if (phase_.parts[part].molality > 0) add_part(formula, part, tables);
  share_ways_back();
}

void ReactingPhase::add_part(const Formula& formula, std::size_t part, const Tables& tables) {
  std::size_t number = 0;
  for (const auto& reaction : reactions_of_part(formula, phase_.parts[part], tables)) {
    PartReaction here{&reaction, part, number++, 1, 0, 0, {}, std::nullopt, std::nullopt, 1};
    if (reaction.fresh_share > 0) here.share = reaction.fresh_share, here.built = 1;
    here.molality = here.share * phase_.parts[part].molality;
    here.turnover = turnover_in(phase_.parts[part], reaction, here.molality, tables);
    if (reaction.ratio && here.turnover.protolytes.size() == 1)
      here.acid = here.turnover.protolytes.front().first;
    for (const auto& [k, mol] : here.turnover.protolytes)
      if (mol < 0 && !here.reactant) here.reactant = k;
    reactions_.push_back(std::move(here));
  }
}

WaterPhase::Part ReactingPhase::turnover_in(const WaterPhase::Part& part,
                                            const TimedReaction& reaction, double most,
                                            const Tables& tables) {
  WaterPhase::Part turnover{part.item, 0, 0, {}, {}, part.component};
  for (const auto& piece : reaction.turnover) {
    if (piece.substance->kind == SubstanceKind::protolyte) {
      const auto known = phase_.protolyte(piece.substance->id);
      const double there = known ? phase_.mixture.protolytes[*known].molality : 0;
      const double more = reaction.fresh_share > 0 ? 0 : std::max(0.0, piece.mol_per_mol * most);
      turnover.protolytes.emplace_back(
          place_of_protolyte(phase_, *piece.substance, there + more, tables), piece.mol_per_mol);
    } else {
      turnover.strong_charge_per_mol += piece.substance->charge * piece.mol_per_mol;
    }
  }
  return turnover;
}

void ReactingPhase::share_ways_back() {
  for (auto& one : reactions_) {
    if (!one.acid) continue;
    double all = 0;
    for (const auto& other : reactions_)
      if (other.acid == one.acid) all += other.molality;
    one.share_of_way_back = all > 0 ? one.molality / all : 1;
  }
}

std::vector<double> ReactingPhase::built_extents() const {
  std::vector<double> extents;
  for (const auto& one : reactions_) extents.push_back(one.built);
  return extents;
}

void ReactingPhase::mix(std::span<const double> extents, chemistry::Mixture& mixture) const {
  const auto& built = phase_.mixture;
  for (std::size_t k = 0; k < built.protolytes.size(); ++k)
    mixture.protolytes[k].molality = built.protolytes[k].molality;
  mixture.ions.resize(built.ions.size());
  mixture.strong_charge = built.strong_charge;
  mixture.strong_ionic = built.strong_ionic;
  mixture.inert_solutes = built.inert_solutes;
  for (std::size_t i = 0; i < reactions_.size(); ++i)
    change(mixture, reactions_[i].turnover,
           reactions_[i].molality * (extents[i] - reactions_[i].built));
}

WaterPhase ReactingPhase::at(std::span<const double> extents) const {
  WaterPhase phase = phase_;
  mix(extents, phase.mixture);
  for (std::size_t i = 0; i < reactions_.size(); ++i) {
    const auto& one = reactions_[i];
    add_to(phase.parts[one.part], one.turnover, one.share * (extents[i] - one.built));
  }
  return phase;
}

WaterPhase ReactingPhase::at(std::span<const double> extents,
                             std::span<const Progress> progress) const {
  WaterPhase phase = at(extents);
  for (std::size_t i = 0; i < reactions_.size(); ++i) {
    const auto& one = reactions_[i];
    if (!(progress[i].high > progress[i].low)) continue;
    const auto& from = one.reaction->row->provenance;
    phase.drivers.push_back({DriverKind::progress, one.turnover.item,
                             fmt::format("how fast {} reacts", plain_name(*one.turnover.component)),
                             std::string(from.source), std::string(from.row_id), phase.parts.size(),
                             one.number, 0, false, progress[i].low, progress[i].high});
    phase.parts.push_back(one.turnover);
  }
  add_escape(extents, phase);
  for (auto& direction : phase.learned) direction.resize(phase.drivers.size(), 0.0);
  return phase;
}

/// The carbon dioxide that has appeared may have left. A phase that still exchanges it with the air
/// knows that; one that was read does not.
void ReactingPhase::add_escape(std::span<const double> extents, WaterPhase& phase) const {
  const auto place = phase.protolyte("carbonic-acid");
  const auto exchanges =
      std::ranges::count(phase.drivers, DriverKind::carbon_dioxide, &Driver::kind);
  if (!place || exchanges) return;
  double appeared = 0;
  for (std::size_t i = 0; i < reactions_.size(); ++i)
    for (const auto& [k, mol] : reactions_[i].turnover.protolytes)
      if (k == *place)
        appeared += mol * reactions_[i].molality * (extents[i] - reactions_[i].built);
  if (!(appeared > 0)) return;
  phase.drivers.push_back({DriverKind::progress,
                           std::nullopt,
                           "carbon dioxide that appears and may leave",
                           "assumption",
                           {},
                           phase.parts.size(),
                           0,
                           0,
                           false,
                           -appeared,
                           0});
  phase.parts.push_back(
      {reactions_.front().turnover.item, 0, 0, {{*place, 1}}, {}, phase.substances[*place]});
}

std::string plain_name(const tables::Substance& substance) {
  const auto end = substance.name.find_first_of("(,");
  auto name = substance.name.substr(0, end);
  while (!name.empty() && name.back() == ' ') name.remove_suffix(1);
  return std::string(name);
}

std::string in_words(const PartReaction& reaction, const Formula& formula, const Tables& tables,
                     std::size_t item) {
  const auto& products = reaction.reaction->products;
  std::string all;
  for (std::size_t i = 0; i < products.size(); ++i)
    all += (i == 0 ? "" : i + 1 == products.size() ? " and " : ", ") + plain_name(*products[i]);
  const auto who = tables.display_name(formula.items[item].ingredient);
  if (reaction.reaction->bound_in_itself()) return fmt::format("{} sets free bound {}", who, all);
  const bool itself = reaction.reaction->reactant == formula.items[item].ingredient;
  return fmt::format(
      "{} turns into {}",
      itself ? who : fmt::format("{} in {}", plain_name(*reaction.turnover.component), who), all);
}

}  // namespace counterion::kinetics
