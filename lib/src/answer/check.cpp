// SPDX-License-Identifier: MIT
#include <counterion/answer/check.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion {
namespace {

constexpr std::array<std::string_view, 5> jurisdictions = {"Canada", "China", "EU", "Japan", "US"};

template <class Words>
void require_word(std::string_view what, std::string_view word, const Words& words,
                  std::vector<Problem>& problems) {
  if (word.empty() || std::find(words.begin(), words.end(), word) != words.end()) return;
  problems.push_back({{}, fmt::format("{} is '{}'", what, word),
                      fmt::format("one of {}", fmt::join(words, ", ")), {}});
}

void require_valid(const CheckOptions& options) {
  std::vector<Problem> problems;
  require_word("type", options.product_type, product_types, problems);
  require_word("use", options.use, product_uses, problems);
  require_word("jurisdiction", options.jurisdiction, jurisdictions, problems);
  if (options.batch_g && !(*options.batch_g > 0 && *options.batch_g <= 1e9))
    problems.push_back({{}, fmt::format("batch is {} g", *options.batch_g), "more than 0 g", {}});
  if (options.target && !(options.target->value() >= 0 && options.target->value() <= 14))
    problems.push_back({{}, fmt::format("target is pH {}", options.target->value()), "pH 0 to 14", {}});
  const double t = in_celsius(options.temperature);
  if (!(t >= 0 && t <= 80))
    problems.push_back({{}, fmt::format("temperature is {} °C", t), "0 to 80 °C", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));
}

Formula with_options(Formula formula, const CheckOptions& options) {
  if (options.batch_g) formula.batch_g = *options.batch_g, formula.batch_stated = true;
  if (!options.product_type.empty()) formula.product_type = options.product_type;
  if (!options.use.empty()) formula.use = options.use;
  return formula;
}

bool any_covered(std::string_view subject, const CheckResult& result) {
  return std::any_of(result.formula.items.begin(), result.formula.items.end(), [&](const auto& item) {
    return item.listed() && result.tables.covers(subject, item.ingredient);
  });
}

double oil_percent(const CheckResult& result) {
  double percent = 0;
  for (const auto& item : result.formula.items)
    for (const auto& part : result.tables.composition_of(item.ingredient))
      if (part.component == "oil") percent += item.percent * part.mass_fraction;
  return percent;
}

/// Oil or micelles that must take some of a preservative, how much being in no table.
void add_uncounted_losses(const PreservativeState& state, CheckResult& result) {
  const auto known = [&](std::string_view quantity) {
    const auto rows = result.tables.constants_of(state.acid);
    return std::any_of(rows.begin(), rows.end(), [&](const auto& row) { return row.quantity == quantity; });
  };
  if (oil_percent(result) > 1 && !known("oil-water-partition"))
    result.not_judged.push_back({fmt::format("{} in the oil phase", state.acid_name),
                                 "in no table: its active amount is the most there can be"});
  if (any_covered("ethoxylated-nonionic", result) && !known("micelle-binding"))
    result.not_judged.push_back({fmt::format("{} bound by ethoxylated surfactants", state.acid_name),
                                 "in no table: its active amount is the most there can be"});
}

/// What the answer is silent about, said.
void add_not_judged(CheckResult& result) {
  auto& list = result.not_judged;
  for (const auto& item : result.formula.items)
    if (!item.listed())
      list.push_back({item.written, item.declared_ph_low
                                        ? "in no table; taken by the pH declared on its line, nothing else"
                                        : "in no table; taken as water-soluble with an unknown acidity, "
                                          "which widens the interval"});
  if (!result.prediction) list.push_back({"pH", result.no_prediction});
  for (const auto& state : result.preservation) add_uncounted_losses(state, result);
  if (oil_percent(result) > 40)
    list.push_back({"which phase is outside", "with this much oil it may be a water-in-oil product, "
                                              "whose pH a meter cannot read"});
  if (result.formula.product_type.empty() || result.formula.use.empty())
    list.push_back({"kind of product", "not stated: the strictest limits of face, body, hand and foot and a narrow skin range apply"});
}

/// The adjusters asked for, every unknown one reported at once.
std::vector<Adjuster> adjusters_of(const CheckOptions& options, const Tables& tables) {
  std::vector<Adjuster> adjusters;
  std::vector<Problem> problems;
  for (const auto& name : options.adjusters) try {
      adjusters.push_back(adjuster_named(name, tables));
    } catch (const UnknownIngredient& unknown) {
      problems.push_back({{}, fmt::format("adjuster is '{}'", name), "an ingredient of the tables",
                          unknown.suggestions()});
    } catch (const BadInput& bad) {
      problems.insert(problems.end(), bad.problems().begin(), bad.problems().end());
    }
  if (!problems.empty()) throw BadInput(std::move(problems));
  return adjusters;
}

constexpr double worth_saying = 0.01;  // pH; less than this no meter shows

/// Chemistry first, then judgement, then amounts; each asks only what stands below it.
class Checker {
 public:
  Checker(CheckResult& result)
      : result_(result),
        judging_{result.options.jurisdiction},
        adjusters_(adjusters_of(result.options, result.tables)) {}

  void run() {
    ask();
    phase_ = water_phase_of(result_.formula, result_.tables, conditions());
    if (phase_) result_.prediction = predict(*phase_);
    else
      result_.no_prediction =
          fmt::format("less than {:g} % water: there is no water phase whose pH would mean anything",
                      least_water_percent);
    judge();
    dose();
    add_not_judged(result_);
  }

 private:
  std::optional<double> predicted() const {
    return result_.prediction ? std::optional(result_.prediction->ph) : std::nullopt;
  }
  Conditions conditions() const {
    Conditions conditions;
    conditions.temperature = result_.options.temperature;
    conditions.activity = result_.options.activity;
    return conditions;
  }
  /// Stops where a name is too open to guess; says what was taken where it is not.
  void ask() {
    result_.questions = questions_of(result_.formula, result_.tables, conditions(), judging_);
    auto problems = must_be_said(result_.questions, result_.formula);
    if (!problems.empty()) throw BadInput(std::move(problems));
    for (const auto& question : result_.questions) {
      if (question.spread() < worth_saying) continue;
      std::vector<std::string> others;
      for (std::size_t i = 1; i < question.choices.size(); ++i) others.push_back(question.choices[i].name);
      const auto& item = result_.formula.items[question.items.front()];
      result_.formula.diagnostics.push_back(
          {item.place, fmt::format("'{}' is taken as {}; {} would change the pH by at most {:.2f}",
                                   item.written, question.choices[0].name,
                                   fmt::join(others, " or "), question.spread())});
    }
  }
  const Prediction* prediction() const { return result_.prediction ? &*result_.prediction : nullptr; }

  void judge() {
    const Formula& formula = result_.formula;
    result_.window = window_of(working_ranges(formula, phase_ ? &*phase_ : nullptr, prediction(),
                                              result_.tables, judging_),
                               predicted());
    result_.target = result_.options.target ? std::optional(result_.options.target->value())
                                            : result_.window.target;
    result_.cautions = cautions_of(formula, predicted(), result_.target, result_.tables);
    result_.limits = limits_of(formula, result_.tables, judging_);
    if (!phase_) return;
    result_.preservation =
        preservation_of(formula, *phase_, *prediction(), result_.target, result_.tables);
    result_.polymers = neutralised_polymers(*phase_, *prediction(), result_.target);
  }
  /// Surely inside the window, and hardly less welcome than the suggested target.
  bool good_as_it_is() const {
    const Window& window = result_.window;
    return !result_.options.target && window.feasible && result_.prediction->p05 >= window.low &&
           result_.prediction->p95 <= window.high &&
           window.desirability(*predicted()) >= 0.8 * window.desirability(*result_.target);
  }
  void dose() {
    if (!phase_ || !result_.target) return;
    result_.adjustment_needed =
        std::abs(*result_.target - *predicted()) > close_enough && !good_as_it_is();
    if (!result_.adjustment_needed) return;
    for (const auto& adjuster : adjusters_)
      result_.adjustments.push_back(adjustment_for(result_.formula, *phase_, *prediction(),
                                                   *result_.target, adjuster, result_.tables,
                                                   judging_));
  }

  CheckResult& result_;
  Judging judging_;
  std::vector<Adjuster> adjusters_;
  std::optional<WaterPhase> phase_;
};

}  // namespace

bool CheckResult::stop() const {
  const auto says_stop = [](const FiredCaution& c) { return c.severity == tables::Severity::stop; };
  return !window.feasible || std::any_of(cautions.begin(), cautions.end(), says_stop) ||
         std::any_of(limits.begin(), limits.end(), [](const auto& l) { return l.exceeded && l.law; });
}

std::string CheckResult::name_of(std::size_t item) const {
  const auto& line = formula.items.at(item);
  return line.listed() ? tables.display_name(line.ingredient) : line.written;
}

CheckResult check(const Formula& formula, const Tables& tables, const CheckOptions& options) {
  require_valid(options);
  CheckResult result(with_options(formula, options), tables, options);
  Checker(result).run();
  return result;
}

}  // namespace counterion
