// SPDX-License-Identifier: MIT
#include <counterion/dosing/amounts.hpp>
#include <counterion/text/strength.hpp>
#include <counterion/text/utf8.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "consequences.hpp"
#include "doser.hpp"

namespace counterion {
namespace {

/// Part of the first addition that a single reading afterwards can still mend (assumption).
constexpr double first_part = 0.7;

std::string why_not(double predicted, double target, double end) {
  const bool acid = end < 7, wants_acid = target < predicted;
  if (acid != wants_acid)
    return fmt::format("wrong direction: it is {}, much of it ends near pH {:.1f}",
                       acid ? "acid" : "alkaline", end);
  return fmt::format("not enough: even much of it ends near pH {:.1f}", end);
}

/// Grams depend on which it is: no guess.
[[noreturn]] void ask_which(std::string_view name,
                            const std::vector<const tables::Ingredient*>& meant,
                            const Tables& tables) {
  std::vector<std::string> names;
  for (const auto* ingredient : meant) names.push_back(tables.display_name(ingredient->id));
  throw BadInput({{{},
                   fmt::format("the adjuster '{}' may be several materials", name),
                   "one of them",
                   names}});
}

const tables::Level* stock_level(std::string_view ingredient, const Tables& tables) {
  for (const auto& row : tables.levels_of(ingredient))
    if (row.kind == "adjuster-stock" && row.rank == 1) return &row;
  return nullptr;
}

/// How far an adjuster may be from what it is called, as a share: its stock's strength and its
/// largest part's content.
double own_uncertainty(const Adjuster& adjuster, const Tables& tables) {
  double stock = 0;
  for (const auto& row : tables.levels_of("batch"))
    if (row.kind == "stock-strength-tolerance" && row.rank == 1) stock = row.value / 100;
  double content = 0, most = 0;
  for (const auto& part : material_of(adjuster.ingredient, tables).parts)
    if (part.mol_per_g > most)
      most = part.mol_per_g, content = part.uncertainty_mol_per_g / part.mol_per_g;
  return std::hypot(stock, content);
}

/// The strength below `percent` that is easily made: 1, 2 or 5 and their tenfolds.
double round_strength(double percent) {
  const double decade = std::pow(10.0, std::floor(std::log10(percent)));
  const double digit = percent / decade;
  return decade * (digit >= 5 ? 5 : digit >= 2 ? 2 : 1);
}

/// Fewer steps of the scale than this weigh an amount only roughly (assumption).
constexpr double fewest_steps = 20;
/// A stock weaker than this brings mostly water.
constexpr double weakest_stock = 0.1;

Weighable weighable_on(double scale_g, double tolerance, const Adjuster& adjuster, double grams,
                       double ph_per_gram) {
  Weighable result;
  result.step_ph = std::abs(ph_per_gram) * scale_g;
  const double too_much =
      std::max(result.step_ph / (0.5 * tolerance), fewest_steps * scale_g / grams);
  result.too_coarse = too_much > 1;
  const double percent = round_strength(adjuster.stock_percent / std::max(1.0, too_much));
  if (result.too_coarse && percent >= weakest_stock && percent < adjuster.stock_percent)
    result.dilute_to_percent = percent;
  return result;
}

/// The amounts of several adjusters for one target: what depends on the batch alone is worked out
/// once.
class Amounts {
 public:
  Amounts(const Batch& batch, double target, const Tables& tables, const DosingOptions& options)
      : batch_(batch),
        target_(target),
        tables_(tables),
        options_(options),
        spread_(charge_spread_at(batch.phase, target)),
        electrolyte_(electrolyte_of(batch.formula, batch.prediction, tables)),
        consequences_(batch.formula, batch.prediction.ph, target, tables, options.judging) {}

  Adjustment of(const Adjuster& adjuster) const {
    Adjustment result;
    result.adjuster = adjuster;
    result.name = tables_.display_name(adjuster.ingredient);
    result.target = target_;
    Doser doser(batch_, adjuster, tables_);
    result.reachable_end = doser.end();
    const auto dose = doser.dose(target_);
    if (!dose) {
      result.why_not = why_not(batch_.prediction.ph, target_, result.reachable_end);
      return result;
    }
    result.possible = true;
    result.from_water = dose->from_water;
    add_consequences(doser.with(*dose), result);
    result.withheld = options_.withheld.empty() ? result.withheld : options_.withheld;
    if (result.withheld.empty()) add_amount(doser, *dose, result);
    return result;
  }

 private:
  void add_consequences(const Formula& adjusted, Adjustment& result) const {
    consequences_.add(adjusted, result);
  }
  void add_amount(Doser& doser, const ExactDose& dose, Adjustment& result) const {
    const PhaseState after = state_of(*doser.last_phase());
    result.percent = dose.percent;
    result.percent_of_ingredient = dose.percent * result.adjuster.stock_percent / 100;
    result.grams = stock_grams(batch_.formula, dose);
    result.ph_after = after.ph;
    result.ionic_strength_after = after.ionic_strength;
    result.electrolyte_after = electrolyte_at(after.ionic_strength);
    add_interval(doser, dose, after, result);
    const double softest = std::max(1.0, after.buffer_capacity / batch_.prediction.buffer_capacity);
    const double per_gram = dose.ph_per_percent * dose.percent / result.grams * softest;
    result.weighable = weighable_on(options_.scale_g, options_.tolerance_ph, result.adjuster,
                                    result.grams, per_gram);
  }
  /// First derivatives: what is not sure of the charge at the target, in grams that undo it.
  void add_interval(const Doser& doser, const ExactDose& dose, const PhaseState& after,
                    Adjustment& result) const {
    const double per_charge =
        result.grams / dose.percent / (dose.ph_per_percent * after.buffer_capacity);
    const double own = own_uncertainty(result.adjuster, tables_) * result.grams;
    const auto half = [&](double charge, double model_ph) {
      return std::hypot(per_charge * charge, per_charge * model_ph * after.buffer_capacity, own);
    };
    // Alkali that nobody knows of asks for more acid and less alkali.
    const bool acid = dose.ph_per_percent < 0;
    const double more = half(acid ? spread_.above : spread_.below,
                             acid ? batch_.prediction.model_above : batch_.prediction.model_below);
    const double less = half(acid ? spread_.below : spread_.above,
                             acid ? batch_.prediction.model_below : batch_.prediction.model_above);
    result.grams_low = std::max(0.0, result.grams - less);
    result.grams_high = result.grams + more;
    if (dose.from_water &&
        percent_of(*result.grams_high) > 0.99 * water_of(batch_.formula)->percent)
      result.grams_high.reset();
    const double first = std::min(first_part * result.grams, result.grams_low);
    if (first > 0)
      result.stages.push_back({first, doser.ph_with_share(dose, first / result.grams)});
  }
  double percent_of(double grams) const { return 100 * grams / batch_.formula.batch_g; }
  Electrolyte electrolyte_at(double ionic_strength) const {
    Electrolyte salt = electrolyte_;
    salt.load = ionic_strength;
    return salt;
  }

  const Batch& batch_;
  double target_;
  const Tables& tables_;
  const DosingOptions& options_;
  ChargeSpread spread_;
  Electrolyte electrolyte_;
  Consequences consequences_;
};

}  // namespace

Adjuster adjuster_named(std::string_view ingredient, const Tables& tables) {
  auto meant = tables.meanings(ingredient);
  auto strength = text::split_strength(ingredient);
  // A name goes before a strength; "100 %" is no part of a name but says that no stock is made.
  if (strength && !meant.empty() && strength->percent != 100) strength.reset();
  if (strength) meant = tables.meanings(text::trim(strength->base));
  if (meant.empty())
    throw UnknownIngredient(std::string(ingredient), tables.nearest_names(ingredient));
  if (meant.size() > 1) ask_which(ingredient, meant, tables);
  if (strength && !(strength->percent > 0 && strength->percent <= 100))
    throw BadInput({{{},
                     fmt::format("a stock of {:g} % in '{}'", strength->percent, ingredient),
                     "more than 0 %, 100 % at most",
                     {}}});
  const auto* row = stock_level(meant.front()->id, tables);
  if (row) return {std::string(row->subject), strength ? strength->percent : row->value};
  throw BadInput({{{},
                   fmt::format("'{}' is no adjuster", ingredient),
                   "an acid or alkali with a usual stock strength in the tables",
                   {}}});
}

std::vector<Adjuster> adjusters_of(const Tables& tables) {
  std::vector<Adjuster> all;
  for (const auto& ingredient : tables.ingredients())
    if (const auto* row = stock_level(ingredient.id, tables))
      all.push_back({std::string(row->subject), row->value});
  return all;
}

std::vector<Adjustment> adjustments_for(const Batch& batch, double target,
                                        std::span<const Adjuster> adjusters, const Tables& tables,
                                        const DosingOptions& options) {
  if (adjusters.empty()) return {};
  const Amounts amounts(batch, target, tables, options);
  std::vector<Adjustment> all;
  for (const auto& adjuster : adjusters) all.push_back(amounts.of(adjuster));
  return all;
}

Adjustment adjustment_for(const Formula& formula, const WaterPhase& phase,
                          const Prediction& prediction, double target, const Adjuster& adjuster,
                          const Tables& tables, const Judging& judging) {
  const BatchKnowledge nothing;
  const DosingOptions options{judging, 0.1, usual_scale_g, {}};
  return std::move(adjustments_for({formula, phase, prediction, nothing}, target, {&adjuster, 1},
                                   tables, options)
                       .front());
}

}  // namespace counterion
