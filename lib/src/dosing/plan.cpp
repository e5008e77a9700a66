// SPDX-License-Identifier: MIT
#include <counterion/dosing/plan.hpp>
#include <counterion/batch/sampled.hpp>

#include <fmt/format.h>

#include <boost/math/distributions/normal.hpp>

#include <algorithm>
#include <cmath>

#include "doser.hpp"

namespace counterion {
namespace {

double standard_normal(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

/// The chance that a pH with this prediction lies below a value; the interval's halves are those of
/// two normal distributions.
double chance_below(double ph, const Prediction& p) {
  const double half = ph < p.ph ? p.ph - p.p05 : p.p95 - p.ph;
  return standard_normal(deviates_to_end * (ph - p.ph) / std::max(half, 1e-6));
}

/// Share by which a stock may be stronger than it is called.
constexpr double stronger_stock = 0.02;
/// First derivatives let a batch that hardly holds its pH hold it less than not at all; a reading
/// says better. This part of what draws from the reading allow is safe whatever they say
/// (assumption, from virtual batches).
constexpr double least_of_held = 0.8;

/// Plans one adjuster's way.
class Planner {
 public:
  Planner(const Batch& batch, double target, const Adjuster& adjuster, const Tables& tables,
          const PlanOptions& options)
      : batch_(batch),
        target_(target),
        adjuster_(adjuster),
        tables_(tables),
        options_(options),
        doser_(batch, adjuster, tables) {}

  Plan plan(int already) {
    Plan plan{
        adjuster_, target_, options_.tolerance_ph, false, chance_inside(batch_.prediction), false,
        false,     {}};
    plan.done = plan.chance_inside >= sure_enough;
    if (plan.done) return plan;
    const auto whole = doser_.dose(target_);
    plan.beyond = !whole || !(whole->percent > 0);
    if (plan.beyond) return plan;
    const double all = grams_of(*whole);
    double first = std::min(all, safe_grams(*whole));
    first = steps(first);
    plan.too_fine = !(first > 0);
    if (plan.too_fine) return plan;
    plan.additions.push_back(expected(first, first));
    const double rest = steps(all - first);
    const bool near =
        std::abs(plan.additions[0].expected_ph - target_) < 0.5 * options_.tolerance_ph;
    if (!near && rest > 0 && already + 1 < options_.most_additions)
      plan.additions.push_back(expected(rest, all));
    return plan;
  }

 private:
  double chance_inside(const Prediction& p) const {
    return chance_below(target_ + options_.tolerance_ph, p) -
           chance_below(target_ - options_.tolerance_ph, p);
  }
  double grams_of(const ExactDose& dose) const { return stock_grams(batch_.formula, dose); }
  double steps(double grams) const {
    return std::floor(grams / options_.scale_g + 1e-9) * options_.scale_g;
  }
  /// The most that goes past the far end of the tolerance no more often than allowed, were the
  /// batch as easily moved as it may be and the stock as strong.
  double safe_grams(const ExactDose& whole) {
    const bool acid = whole.ph_per_percent < 0;
    const double far = target_ + (acid ? -1 : 1) * options_.tolerance_ph;
    const auto to_far = doser_.dose(far);
    if (!to_far) return grams_of(whole);
    double share = safe_share_unread(*to_far, far, acid);
    if (!batch_.knowledge.empty()) {
      const double held = safe_share_read(far, acid);
      share = std::clamp(share, least_of_held * held, held);
    }
    return share * grams_of(*to_far);
  }
  /// From what the tables say alone: what is not sure of the charge at the far end.
  double safe_share_unread(const ExactDose& to_far, double far, bool acid) {
    const auto phase = doser_.phase_with(to_far, Sureness::known);
    const ChargeSpread spread = charge_spread_at(*phase, far);
    const double model = acid ? batch_.prediction.model_below : batch_.prediction.model_above;
    const double charge =
        std::hypot(acid ? spread.below : spread.above, model * charge_at(*phase, far).capacity);
    const double z = boost::math::quantile(
        boost::math::complement(boost::math::normal(), options_.most_overshoot));
    const auto low = doser_.dose(far, (acid ? -1 : 1) * z / deviates_to_end * charge);
    return low ? low->percent / to_far.percent : 0;
  }
  /// From a reading: where the batch stands is known, how firmly it holds is not.
  double safe_share_read(double far, bool acid) const {
    const Prediction& now = batch_.prediction;
    auto draws = sample_charge_between(batch_.phase, now.ph, 0.5 * (now.p95 - now.p05), far);
    const double middle = charge_at(batch_.phase, far).charge;
    for (double& draw : draws) draw *= acid ? 1 : -1;
    std::ranges::sort(draws);
    const auto least =
        static_cast<std::size_t>(options_.most_overshoot * static_cast<double>(draws.size()));
    return std::max(0.0, draws[least] / std::abs(middle)) * (1 - stronger_stock);
  }
  PlannedAddition expected(double grams, double in_all) {
    const std::vector<Portion> portions{{adjuster_, in_all}};
    const auto phase = batch_.knowledge.phase_of(with_portions(batch_.formula, portions, tables_),
                                                 tables_, batch_.phase.conditions);
    const Prediction p = predict(*phase, 0);
    return {grams, p.ph, p.p05, p.p95};
  }

  const Batch& batch_;
  double target_;
  const Adjuster& adjuster_;
  const Tables& tables_;
  const PlanOptions& options_;
  Doser doser_;
};

/// Beyond so much salt of the two adjusters a batch is better made anew (assumption).
constexpr double most_salt_percent = 1;

double dry_percent(const Formula& formula, std::size_t first_line, const Tables& tables) {
  double percent = 0;
  for (std::size_t i = first_line; i < formula.items.size(); ++i)
    percent += formula.items[i].percent *
               (1 - material_of(formula.items[i].ingredient, tables).water_g_per_g);
  return percent;
}

/// The first thickener that this much salt thins but did not before.
const ThickenerState* newly_thinned(const Electrolyte& before, const Electrolyte& after) {
  for (const auto& state : after.thickeners)
    if (after.thins(state) && !before.thins(state)) return &state;
  return nullptr;
}

void judge(const Formula& formula, const Electrolyte& before, const Electrolyte& after,
           const Tables& tables, Undo& undo) {
  if (!undo.grams) {
    undo.remake = true;
    undo.why = "nothing asked about brings it back";
  } else if (const auto* thinned = newly_thinned(before, after)) {
    undo.remake = true;
    undo.why = fmt::format("the salt of both thins {}",
                           tables.display_name(formula.items[thinned->item].ingredient));
  } else if (undo.salt_percent > most_salt_percent) {
    undo.remake = true;
    undo.why = fmt::format("the two leave {:.1f} % of salt behind", undo.salt_percent);
  } else {
    undo.why = "it can be brought back; what was added stays in it as salt";
  }
}

}  // namespace

Plan plan_for(const Batch& batch, double target, const Adjuster& adjuster, const Tables& tables,
              const PlanOptions& options, int already) {
  return Planner(batch, target, adjuster, tables, options).plan(already);
}

std::optional<Undo> undo_for(const Batch& batch, double target, const Adjuster& adjuster,
                             double beyond_ph, std::span<const Adjuster> backs,
                             const Tables& tables) {
  Doser doser(batch, adjuster, tables);
  const auto towards = doser.dose(target);
  if (!towards || !(towards->percent > 0)) return std::nullopt;
  const double past = target + (towards->ph_per_percent < 0 ? -1 : 1) * std::abs(beyond_ph);
  const auto too_much = doser.dose(past);
  if (!too_much) return std::nullopt;
  const Formula spoilt = doser.with(*too_much);
  const auto phase = batch.knowledge.phase_of(spoilt, tables, batch.phase.conditions);
  const Prediction there = predict(*phase, 0);
  Undo undo{there.ph, {}, {}, std::nullopt, there.ionic_strength, 0, false, {}};
  Electrolyte after = electrolyte_of(spoilt, there, tables);
  for (const auto& back : backs) {
    const Batch past_it{spoilt, *phase, there, batch.knowledge};
    Doser way_back(past_it, back, tables);
    const auto dose = way_back.dose(target);
    if (!dose || !(dose->percent > 0)) continue;
    const Formula mended = way_back.with(*dose);
    const Prediction then = predict(*way_back.phase_with(*dose, Sureness::left_aside), 0);
    undo.adjuster = back;
    undo.name = tables.display_name(back.ingredient);
    undo.grams = stock_grams(spoilt, *dose);
    undo.ionic_strength_after = then.ionic_strength;
    undo.salt_percent = dry_percent(mended, batch.formula.items.size(), tables);
    after = electrolyte_of(mended, then, tables);
    break;
  }
  judge(batch.formula, electrolyte_of(batch.formula, batch.prediction, tables), after, tables,
        undo);
  return undo;
}

}  // namespace counterion
