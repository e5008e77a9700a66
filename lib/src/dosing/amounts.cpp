// SPDX-License-Identifier: MIT
#include <counterion/dosing/amounts.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// Part of the first addition that a single reading afterwards can still mend (assumption).
constexpr double first_part = 0.7;

/// The sums for one adjuster; amounts are grams of the ingredient per kg of the phase's water.
class Dosing {
  template <class Work>
  auto with_model(Work&& work) const {
    return chemistry::with_model(model_choice(phase_.conditions), work);
  }

 public:
  Dosing(const Formula& formula, const WaterPhase& phase, const Adjuster& adjuster,
         const Tables& tables)
      : formula_(formula), phase_(phase), adjuster_(adjuster) {
    const Material material = material_of(adjuster.ingredient, tables);
    addition_ = addition_of(material, phase, tables);
    const FormulaItem* water = water_of(formula);
    replaceable_ = water ? grams_per_kg(water->percent) : 0;
    take_from_water(true, material);
    if (!(replaceable_ > 0)) take_from_water(false, material);
    material_ = material;
  }

  /// Grams of ingredient that hold the target with `strong_charge` (mol/kg) unaccounted for.
  std::optional<double> amount(double target, double strong_charge) const {
    chemistry::Mixture base = phase_.mixture;
    base.add_strong_charge(strong_charge);
    const double h = std::pow(10.0, -target);
    return with_model([&](const auto& model) {
      return chemistry::amount_holding(h, base, addition_, phase_.water, model, most());
    });
  }
  double ph_with(double grams) const {
    const auto mixture = chemistry::with_addition(phase_.mixture, addition_, grams);
    return with_model([&](const auto& model) {
      return -chemistry::solve(mixture, phase_.water, model).x / chemistry::ln10;
    });
  }
  /// More than the replaceable water comes on top of the batch.
  void go_on_top() { take_from_water(false, material_); }
  bool from_water() const { return from_water_; }
  double most() const { return from_water_ ? 0.99 * replaceable_ * share() : 5000; }

  /// Percent of stock in the finished formula.
  double stock_percent(double grams) const {
    const double per_100 = grams * phase_.water_percent / 1000 / share();
    return from_water_ ? per_100 : 100 * per_100 / (100 + per_100);
  }
  Formula adjusted(const Formula& formula, double grams, const Tables& tables) const {
    return with_adjuster(formula, adjuster_, stock_percent(grams), from_water_, tables);
  }
  /// Grams of stock for the batch. On top: the batch grows by them.
  double stock_grams(double grams) const {
    return grams * phase_.water_percent / 1000 / share() * formula_.batch_g / 100;
  }

 private:
  double share() const { return adjuster_.stock_percent / 100; }
  double grams_per_kg(double percent) const { return percent / phase_.water_percent * 1000; }
  void take_from_water(bool from_water, const Material& material) {
    from_water_ = from_water;
    const double stock_water = (1 - share()) / share();
    addition_.water_kg =
        (material.water_g_per_g + (from_water ? -1.0 : stock_water)) / 1000;
  }
  const Formula& formula_;
  const WaterPhase& phase_;
  const Adjuster& adjuster_;
  Material material_;
  chemistry::Addition addition_;
  double replaceable_ = 0;
  bool from_water_ = true;
};

std::string why_not(double predicted, double target, double end) {
  const bool acid = end < 7, wants_acid = target < predicted;
  if (acid != wants_acid)
    return fmt::format("wrong direction: it is {}, much of it ends near pH {:.1f}",
                       acid ? "acid" : "alkaline", end);
  return fmt::format("not enough: even much of it ends near pH {:.1f}", end);
}

bool among(const std::vector<FiredCaution>& cautions, const FiredCaution& one) {
  return std::any_of(cautions.begin(), cautions.end(),
                     [&](const FiredCaution& other) { return other.id == one.id; });
}

/// Whether a caution tells of lye that is used up by oil: the batch will not have the pH worked out.
bool makes_soap(const FiredCaution& caution, const Tables& tables) {
  const auto row = std::ranges::find(tables.cautions(), caution.id, &tables::Caution::id);
  return row != tables.cautions().end() && row->b == "soap-giving-oil" &&
         caution.severity == tables::Severity::stop;
}

/// Cautions and limits that the move brings: a stop that did not hold where the batch is now withholds
/// the grams, and so does one that makes soap of it; lesser ones are listed where the adjuster itself brings them.
void add_consequences(const Formula& formula, const Formula& adjusted, double predicted,
                      Adjustment& result, const Tables& tables, const Judging& judging) {
  const auto now = cautions_of(formula, predicted, predicted, tables);
  const auto at_target = cautions_of(formula, result.target, result.target, tables);
  for (auto& caution : cautions_of(adjusted, result.target, result.target, tables)) {
    const bool stop = caution.severity == tables::Severity::stop;
    if (stop && (!among(now, caution) || makes_soap(caution, tables)))
      result.withheld = caution.what_happens;
    if (caution.severity != tables::Severity::note && !among(stop ? now : at_target, caution))
      result.cautions.push_back(std::move(caution));
  }
  for (auto& limit : limits_of(adjusted, tables, judging))
    if (limit.exceeded && std::count(limit.items.begin(), limit.items.end(), adjusted.items.size() - 1))
      result.limits.push_back(std::move(limit));
}

void add_stages(const Dosing& dosing, double grams, double low, Adjustment& result) {
  const double first = std::min(first_part * grams, low);
  if (first > 0) result.stages.push_back({dosing.stock_grams(first), dosing.ph_with(first)});
}

/// The pH that the sums must aim for: an adjuster that takes much water's place leaves glycols and oil
/// weighing more in what is left, which the sums for the first gram do not know.
double aim_of(const Dosing& dosing, const Formula& formula, const WaterPhase& phase, double target,
              const Tables& tables) {
  double aim = target, last_aim = target, last_miss = 0;
  for (int pass = 0; pass < 12; ++pass) {
    const auto grams = dosing.amount(aim, 0);
    const auto again = grams ? water_phase_of(dosing.adjusted(formula, *grams, tables), tables, phase.conditions,
                                              Sureness::left_aside)
                             : std::nullopt;
    if (!again) break;
    const double miss = target - ph_of(*again);
    if (std::abs(miss) < 1e-4) break;
    const bool secant = pass > 0 && (miss - last_miss) * (aim - last_aim) < 0;
    const double step = secant ? -miss * (aim - last_aim) / (miss - last_miss) : miss;
    last_aim = aim, last_miss = miss;
    aim += std::clamp(step, -1.0, 1.0);
  }
  return aim;
}

/// An amount is given where the formula with it comes this near to the target.
constexpr double most_miss = 0.02;

/// What the activity model may be off by, in grams, added to the interval in quadrature.
void widen_by_model(const Dosing& dosing, double aim, const Prediction& prediction, Adjustment& result) {
  double low = result.grams, high = result.grams;
  for (const double by : {prediction.model_below, -prediction.model_above})
    if (const auto grams = dosing.amount(aim + by, 0)) {
      low = std::min(low, dosing.stock_grams(*grams));
      high = std::max(high, dosing.stock_grams(*grams));
    }
  result.grams_low = std::max(0.0, result.grams - std::hypot(std::max(0.0, result.grams - result.grams_low),
                                                             result.grams - low));
  if (result.grams_high)
    *result.grams_high = result.grams + std::hypot(std::max(0.0, *result.grams_high - result.grams),
                                                   high - result.grams);
}

/// Grams depend on which it is: no guess.
[[noreturn]] void ask_which(std::string_view name, const std::vector<const tables::Ingredient*>& meant,
                            const Tables& tables) {
  std::vector<std::string> names;
  for (const auto* ingredient : meant) names.push_back(tables.display_name(ingredient->id));
  throw BadInput({{{}, fmt::format("the adjuster '{}' may be several materials", name), "one of them", names}});
}

}  // namespace

Adjuster adjuster_named(std::string_view ingredient, const Tables& tables) {
  const auto meant = tables.meanings(ingredient);
  if (meant.empty()) throw UnknownIngredient(std::string(ingredient), tables.nearest_names(ingredient));
  if (meant.size() > 1) ask_which(ingredient, meant, tables);
  for (const auto& row : tables.levels_of(meant.front()->id))
    if (row.kind == "adjuster-stock" && row.rank == 1) return {std::string(row.subject), row.value};
  throw BadInput({{{}, fmt::format("'{}' is no adjuster", ingredient),
                   "an acid or alkali with a usual stock strength in the tables", {}}});
}

Adjustment adjustment_for(const Formula& formula, const WaterPhase& phase,
                          const Prediction& prediction, double target, const Adjuster& adjuster,
                          const Tables& tables, const Judging& judging) {
  Adjustment result;
  result.adjuster = adjuster;
  result.name = tables.display_name(adjuster.ingredient);
  result.target = target;
  Dosing dosing(formula, phase, adjuster, tables);
  auto grams = dosing.amount(target, 0);
  if (!grams && dosing.from_water()) {
    dosing.go_on_top();
    grams = dosing.amount(target, 0);
  }
  result.from_water = dosing.from_water();
  result.reachable_end = dosing.ph_with(dosing.most());
  if (!grams) {
    result.why_not = why_not(prediction.ph, target, result.reachable_end);
    return result;
  }
  result.possible = true;
  const double aim = aim_of(dosing, formula, phase, target, tables);
  grams = dosing.amount(aim, 0).value_or(*grams);
  result.percent = dosing.stock_percent(*grams);
  result.percent_of_ingredient = result.percent * adjuster.stock_percent / 100;
  const Formula adjusted = with_adjuster(formula, adjuster, result.percent, result.from_water, tables);
  const auto phase_after = water_phase_of(adjusted, tables, phase.conditions, Sureness::left_aside);
  const double ph_after = phase_after ? ph_of(*phase_after) : 0;
  if (!phase_after || std::abs(ph_after - target) > most_miss) {
    result.possible = false;
    result.percent = result.percent_of_ingredient = 0;
    result.why_not = "so much of it would take the place of the water that the sum does not hold";
    return result;
  }
  add_consequences(formula, adjusted, prediction.ph, result, tables, judging);
  if (!result.withheld.empty()) {
    result.percent = result.percent_of_ingredient = 0;
    return result;
  }

  result.grams = dosing.stock_grams(*grams);
  const ChargeSpread spread = charge_spread_at(phase, target);
  const auto one = dosing.amount(aim, spread.above), other = dosing.amount(aim, -spread.below);
  const double a = one.value_or(0), b = other.value_or(0);
  const bool acid = target < prediction.ph;  // more alkali hidden means more acid to add
  result.grams_low = dosing.stock_grams(acid ? b : a);
  if (acid ? one.has_value() : other.has_value()) result.grams_high = dosing.stock_grams(acid ? a : b);
  widen_by_model(dosing, aim, prediction, result);
  result.ph_after = ph_after;
  add_stages(dosing, *grams, acid ? b : a, result);
  return result;
}

}  // namespace counterion
