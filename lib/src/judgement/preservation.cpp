// SPDX-License-Identifier: MIT
#include <counterion/judgement/preservation.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// Where the acid's molecules are at a pH, as shares of all of it; the ionic strength being the prediction's.
struct Whereabouts {
  double free_neutral = 0;  ///< undissociated and free in the water
  double held = 0;          ///< in oil and micelles
};

Whereabouts whereabouts(const WaterPhase& phase, std::size_t k, double ph, double ionic_strength) {
  return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
    const auto settled = chemistry::settle(phase.mixture, phase.water, model);
    const auto& part = settled.mixture.protolytes[k];
    const auto in_play = chemistry::contribution(part, std::pow(10.0, -ph),
                                                 settled.model.at(std::sqrt(ionic_strength)));
    if (!(part.molality > 0)) return Whereabouts{in_play.mean.neutral, 0};
    const double free = in_play.free_neutral;
    return Whereabouts{free / part.molality,
                       free * (part.neutral.elsewhere + part.neutral.paired * free) / part.molality};
  });
}

/// The acid that an item brings into the phase and how much of it, percent of the formula.
struct Acid {
  std::size_t protolyte = 0;
  double percent = 0;
};

std::optional<Acid> acid_of(const WaterPhase& phase, std::size_t item) {
  for (const auto& part : phase.parts) {
    if (part.item != item) continue;
    for (const auto& [k, mol] : part.protolytes)
      if (phase.protolytes[k].charge_fully_protonated() == 0)
        return Acid{k, part.molality * mol * phase.substances[k]->molar_mass_g_per_mol / 1000 *
                           phase.water_percent};
  }
  return std::nullopt;
}

/// pH at which the active amount has fallen to `least`; empty when it is less at every pH.
std::optional<double> highest_ph(const WaterPhase& phase, const Acid& acid, double percent_of_water,
                                 double least, double ionic_strength) {
  const auto surplus = [&](double ph) {
    return percent_of_water * whereabouts(phase, acid.protolyte, ph, ionic_strength).free_neutral - least;
  };
  if (surplus(0) <= 0 || surplus(14) >= 0) return std::nullopt;
  return chemistry::bracketed_root(surplus, 0.0, 14.0);
}

}  // namespace

double undissociated_share(const WaterPhase& phase, std::string_view substance, double ph,
                           double ionic_strength) {
  const auto k = phase.protolyte(substance);
  return k ? whereabouts(phase, *k, ph, ionic_strength).free_neutral : 0;
}

std::vector<PreservativeState> preservation_of(const Formula& formula, const WaterPhase& phase,
                                               const Prediction& prediction,
                                               std::optional<double> target, const Tables& tables) {
  std::vector<PreservativeState> states;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    if (!tables.covers("acid-preservative", formula.items[i].ingredient)) continue;
    const auto acid = acid_of(phase, i);
    if (!acid) continue;
    const auto share = [&](double ph) {
      return whereabouts(phase, acid->protolyte, ph, prediction.ionic_strength).free_neutral;
    };
    const double of_water = acid->percent / phase.water_percent * 100;
    PreservativeState state;
    state.item = i;
    state.acid = phase.substances[acid->protolyte]->id;
    state.acid_name = phase.substances[acid->protolyte]->name;
    state.percent_as_acid = acid->percent;
    state.share_at_predicted = share(prediction.ph);
    state.share_held = whereabouts(phase, acid->protolyte, target.value_or(prediction.ph),
                                   prediction.ionic_strength).held;
    state.active_at_predicted = of_water * state.share_at_predicted;
    if (target) state.share_at_target = share(*target), state.active_at_target = of_water * share(*target);
    for (const auto& row : tables.levels_of(formula.items[i].ingredient))
      if (row.kind == "minimum-undissociated" && row.rank == 1) {
        state.least_active = row.value;
        state.highest_ph = highest_ph(phase, *acid, of_water, row.value, prediction.ionic_strength);
        state.source = row.provenance.source;
        state.row_id = row.provenance.row_id;
        state.condition = row.condition;
      }
    states.push_back(std::move(state));
  }
  return states;
}

}  // namespace counterion
