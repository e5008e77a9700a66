// SPDX-License-Identifier: MIT
#include "explanation_standing.hpp"

#include <algorithm>

namespace counterion {
namespace {

/// A preservative that works by so much more or less is no longer the same (assumption).
constexpr double as_good = 0.1;

bool is_told(const FiredCaution& caution) {
  const bool holds =
      caution.holding == Holding::there || caution.holding == Holding::until_adjusted;
  return holds && caution.severity != tables::Severity::note;
}

bool is_known(const FiredCaution& caution, const std::vector<FiredCaution>& all) {
  return std::ranges::any_of(
      all, [&](const FiredCaution& other) { return other.id == caution.id && is_told(other); });
}

std::vector<std::string> names_of(const Formula& formula, const Tables& tables) {
  std::vector<std::string> names;
  for (const auto& item : formula.items)
    names.push_back(item.listed() ? tables.display_name(item.ingredient) : item.written);
  return names;
}

}  // namespace

Beside::Beside(const Formula& intended, const CheckOptions& options, const Tables& tables)
    : intended_(intended), options_(options), tables_(tables), reference_(judged(intended)) {
  if (options.target) aim_ = options.target->value();
  if (aim_ || !reference_.prediction) return;
  aim_ = reference_.needs_adjustment(false) ? reference_.target
                                            : std::optional(reference_.prediction->ph);
}

Judged Beside::judged(const Formula& batch, const BatchKnowledge& knowledge) const {
  JudgeOptions options;
  options.judging = {options_.jurisdiction};
  options.conditions.temperature = options_.temperature;
  options.conditions.activity = options_.activity;
  options.meter_ph = options_.meter_ph, options.scale_g = options_.scale_g;
  options.drivers = 0;
  options.sureness = Sureness::left_aside;
  options.knowledge = &knowledge;
  return judge(batch, tables_, options);
}

Beside::Strength Beside::strength_of(const Formula& batch, const Judged& judged,
                                     std::optional<double> ph) const {
  if (!judged.phase) return {};
  const auto all = preservation_of(batch, *judged.phase, *judged.prediction, ph, tables_);
  Strength strength;
  strength.enough = !all.acids.empty() && all.acids_suffice();
  for (const auto& acid : all.acids)
    strength.works += acid.least_active ? acid.fraction()
                                        : acid.active_at_target.value_or(acid.active_at_predicted);
  for (const auto& other : all.others) {
    strength.enough = strength.enough || other.enough();
    strength.works += other.usual_low ? other.percent / *other.usual_low : other.percent;
  }
  return strength;
}

Standing Beside::compared(const Formula& batch, const Judged& judged,
                          std::optional<double> reference_ph) const {
  Standing standing;
  if (judged.prediction) standing.ph = judged.prediction->ph;
  for (const auto& caution : judged.cautions)
    if (is_told(caution) && !is_known(caution, reference_.cautions))
      standing.new_cautions.push_back(caution);
  for (const auto& limit : judged.limits)
    if (limit.exceeded) standing.limits.push_back(limit);
  const auto before = strength_of(intended_, reference_, reference_ph);
  const auto after = strength_of(batch, judged, std::nullopt);
  if (before.enough && !after.enough)
    standing.preservation = PreservationChange::lost;
  else if (after.works < (1 - as_good) * before.works)
    standing.preservation = PreservationChange::weaker;
  else if (after.works > (1 + as_good) * before.works)
    standing.preservation = PreservationChange::stronger;
  standing.in_window = judged.window.feasible && standing.ph && judged.window.low <= *standing.ph &&
                       *standing.ph <= judged.window.high;
  standing.stop = judged.stop();
  standing.names = names_of(batch, tables_);
  return standing;
}

Standing Beside::standing_of(const Formula& batch, const Variation& loose,
                             const BatchKnowledge& knowledge) const {
  auto standing = compared(batch, judged(batch, knowledge), std::nullopt);
  const bool more = loose.carbonate_mol_per_kg > 0 || loose.alkali_mol_per_kg != 0;
  if (!more) return standing;
  Conditions conditions;
  conditions.temperature = options_.temperature, conditions.activity = options_.activity;
  if (auto phase = water_phase_of(batch, tables_, conditions, Sureness::left_aside)) {
    vary(*phase, loose);
    standing.ph = ph_of(*phase);
  }
  return standing;
}

Standing Beside::mended(const Formula& batch, const BatchKnowledge& knowledge) const {
  return compared(batch, judged(batch, knowledge), aim_);
}

bool Beside::passes(const Standing& standing) const {
  const auto exceeded = std::ranges::count_if(
      reference_.limits, [](const CheckedLimit& limit) { return limit.exceeded; });
  const bool new_stop = std::ranges::any_of(standing.new_cautions, [](const FiredCaution& c) {
    return c.severity == tables::Severity::stop;
  });
  return !new_stop && static_cast<long>(standing.limits.size()) <= exceeded &&
         standing.preservation != PreservationChange::lost;
}

}  // namespace counterion
