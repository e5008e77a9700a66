// SPDX-License-Identifier: MIT
#include <counterion/answer/check.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "valid_options.hpp"

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

}  // namespace

void require_valid(const CheckOptions& options) {
  std::vector<Problem> problems;
  require_word("type", options.product_type, product_types, problems);
  require_word("use", options.use, product_uses, problems);
  require_word("jurisdiction", options.jurisdiction, jurisdictions, problems);
  if (options.batch_g && !(*options.batch_g > 0 && *options.batch_g <= 1e9))
    problems.push_back({{}, fmt::format("batch is {} g", *options.batch_g), "more than 0 g, 1e9 g at most", {}});
  if (options.target && !(options.target->value() >= 0 && options.target->value() <= 14))
    problems.push_back({{}, fmt::format("target is pH {}", options.target->value()), "pH 0 to 14", {}});
  if (!(options.meter_ph >= 0 && options.meter_ph <= 2))
    problems.push_back({{}, fmt::format("meter is ± {}", options.meter_ph), "0 to 2 pH units", {}});
  if (!(options.tolerance_ph >= 0.01 && options.tolerance_ph <= 2))
    problems.push_back({{}, fmt::format("tolerance is {}", options.tolerance_ph), "0.01 to 2 pH units", {}});
  if (!(options.scale_g >= 1e-6 && options.scale_g <= 1000))
    problems.push_back({{}, fmt::format("scale is {} g", options.scale_g), "0.000001 to 1000 g", {}});
  const double t = in_celsius(options.temperature);
  if (!(t >= 0 && t <= 80))
    problems.push_back({{}, fmt::format("temperature is {} °C", t), "0 to 80 °C", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));
}

namespace {

Formula with_options(Formula formula, const CheckOptions& options) {
  if (options.batch_g) formula.batch_g = *options.batch_g, formula.batch_stated = true;
  if (!options.product_type.empty()) formula.product_type = options.product_type;
  if (!options.use.empty()) formula.use = options.use;
  return formula;
}

double oil_percent(const CheckResult& result) {
  double percent = 0;
  for (const auto& item : result.formula.items)
    for (const auto& part : result.tables.composition_of(item.ingredient))
      if (part.component == "oil") percent += item.percent * part.mass_fraction;
  return percent;
}

/// Losses that are in no table.
void add_unknown_losses(const PreservativeState& state, CheckResult& result) {
  for (const auto& where : state.unknown_losses)
    result.not_judged.push_back({fmt::format("{} in {}", state.acid_name, where),
                                 "how much is in no table: its active amount is the most there can be"});
}

/// Which phase is outside, where that is in doubt.
void add_phase_doubt(CheckResult& result) {
  const bool inverse = std::ranges::any_of(result.formula.items, [&](const FormulaItem& item) {
    return item.listed() && item.percent > 0 && result.tables.covers("water-in-oil-emulsifier", item.ingredient);
  });
  if (inverse)
    result.not_judged.push_back({"the pH of a water-in-oil product",
                                 "it has an emulsifier that puts the oil outside: a meter cannot read it; read its water "
                                 "phase before it is emulsified"});
  else if (oil_percent(result) > 40)
    result.not_judged.push_back({"which phase is outside", "with this much oil it may be a water-in-oil product, "
                                                           "whose pH a meter cannot read"});
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
  for (const auto& state : result.preservation.acids) add_unknown_losses(state, result);
  add_phase_doubt(result);
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

/// The subjects that a name of an exclusion stands for: a class, or what the name may mean.
std::vector<std::string> subjects_named(const std::string& name, std::string_view option, const Tables& tables,
                                        std::vector<Problem>& problems) {
  if (!tables.members_of(name).empty()) return {name};
  std::vector<std::string> ids;
  for (const auto* ingredient : tables.meanings(name)) ids.emplace_back(ingredient->id);
  if (ids.empty())
    problems.push_back({{}, fmt::format("{} is '{}'", option, name), "an ingredient or a class of the tables",
                        tables.nearest_names(name)});
  return ids;
}

/// What the person rules out, every unknown name reported at once.
Exclusions exclusions_of(const CheckResult& result) {
  Exclusions exclusions;
  std::vector<Problem> problems;
  const auto add = [&](const auto& names, std::string_view option, auto& subjects) {
    for (const auto& name : names) std::ranges::move(subjects_named(name, option, result.tables, problems), std::back_inserter(subjects));
  };
  add(result.options.without, "without", exclusions.without);
  add(result.options.keep, "keep", exclusions.keep);
  if (!problems.empty()) throw BadInput(std::move(problems));
  return exclusions;
}

constexpr double worth_saying = 0.01;  // pH; less than this no meter shows

/// Chemistry first, then judgement, then amounts; each asks only what stands below it.
class Checker {
 public:
  Checker(CheckResult& result)
      : result_(result),
        judging_{result.options.jurisdiction},
        adjusters_(adjusters_of(result.options, result.tables)),
        exclusions_(exclusions_of(result)) {}

  void run() {
    ask();
    judged_ = counterion::judge(result_.formula, result_.tables, judge_options());
    if (result_.options.remedies)
      result_.remedies = remedies_for(result_.formula, judged_, result_.tables, without_knowledge(), exclusions_);
    dose();
    hand_over();
    add_not_judged(result_);
  }

 private:
  Conditions conditions() const {
    Conditions conditions;
    conditions.temperature = result_.options.temperature;
    conditions.activity = result_.options.activity;
    return conditions;
  }
  JudgeOptions judge_options() const {
    JudgeOptions options;
    if (result_.options.target) options.target = result_.options.target->value();
    options.judging = judging_;
    options.conditions = conditions();
    options.meter_ph = result_.options.meter_ph;
    options.scale_g = result_.options.scale_g;
    if (!result_.options.knowledge.empty()) options.knowledge = &result_.options.knowledge;
    return options;
  }
  /// What was learned of this batch says nothing of another formula.
  JudgeOptions without_knowledge() const {
    JudgeOptions options = judge_options();
    options.knowledge = nullptr;
    return options;
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
  void dose() {
    if (!judged_.phase || !judged_.target) return;
    result_.adjustment_needed = judged_.needs_adjustment(result_.options.target.has_value());
    if (!result_.adjustment_needed) return;
    const DosingOptions options{judging_, result_.options.tolerance_ph, result_.options.scale_g, result_.options.withheld};
    result_.adjustments = adjustments_for({result_.formula, *judged_.phase, *judged_.prediction, result_.options.knowledge},
                                          *judged_.target, adjusters_, result_.tables, options);
  }
  void hand_over() {
    if (judged_.phase) result_.polymers = neutralised_polymers(*judged_.phase, *judged_.prediction, judged_.target);
    result_.stops = judged_.stop();
    result_.prediction = std::move(judged_.prediction);
    result_.no_prediction = std::move(judged_.no_prediction);
    result_.window = std::move(judged_.window);
    result_.target = judged_.target;
    result_.preservation = std::move(judged_.preservation);
    result_.electrolyte = std::move(judged_.electrolyte);
    result_.cautions = std::move(judged_.cautions);
    result_.limits = std::move(judged_.limits);
    result_.phase = std::move(judged_.phase);
  }

  CheckResult& result_;
  Judging judging_;
  std::vector<Adjuster> adjusters_;
  Exclusions exclusions_;
  Judged judged_;
};

}  // namespace

std::string CheckResult::name_of(std::size_t item) const {
  const auto& line = formula.items.at(item);
  return line.listed() ? tables.display_name(line.ingredient) : line.written;
}

const Adjustment* CheckResult::best_adjustment() const {
  static const std::vector<std::string> usual = CheckOptions().adjusters;
  const auto price = [&](const Adjustment& one) {
    const bool at_hand = std::ranges::count(usual, one.adjuster.ingredient) > 0;
    const bool in_use = std::ranges::any_of(formula.items, [&](const FormulaItem& item) {
      return item.note == adjuster_note && item.ingredient == one.adjuster.ingredient;
    });
    return std::tuple(!in_use, !at_hand, one.cautions.size());
  };
  const Adjustment* best = nullptr;
  for (const auto& one : adjustments) {
    if (!one.possible || !one.withheld.empty() || !one.limits.empty()) continue;
    if (!best || price(one) < price(*best)) best = &one;
  }
  return best;
}

CheckResult check(const Formula& formula, const Tables& tables, const CheckOptions& options) {
  require_valid(options);
  CheckResult result(with_options(formula, options), tables, options);
  Checker(result).run();
  return result;
}

}  // namespace counterion
