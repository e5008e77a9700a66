// SPDX-License-Identifier: MIT
#include <counterion/answer/questions.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace counterion {
namespace {

std::optional<double> predicted_ph(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions) {
  const auto phase = water_phase_of(formula, tables, conditions, Sureness::left_aside);
  return phase ? std::optional(ph_of(*phase)) : std::nullopt;
}

std::size_t limits_exceeded(const Formula& formula, const Tables& tables, const Judging& judging) {
  const auto limits = limits_of(formula, tables, judging);
  return static_cast<std::size_t>(std::ranges::count_if(
      limits, [](const CheckedLimit& limit) { return limit.law && limit.exceeded; }));
}

/// What the lines of a question may mean, what was taken first.
std::vector<std::string> meanings_of(const FormulaItem& item) {
  std::vector<std::string> meant = item.alternatives;
  meant.insert(meant.begin(), item.ingredient);
  return meant;
}

/// The lines that ask the same as this one, this one first.
std::vector<std::size_t> lines_like(std::size_t first, const Formula& formula) {
  std::vector<std::size_t> items;
  for (std::size_t i = first; i < formula.items.size(); ++i)
    if (meanings_of(formula.items[i]) == meanings_of(formula.items[first])) items.push_back(i);
  return items;
}

Question question_about(std::vector<std::size_t> items, Formula formula, const Tables& tables,
                        const Conditions& conditions, const Judging& judging) {
  Question question{std::move(items), {}};
  for (const auto& id : meanings_of(formula.items[question.items.front()])) {
    for (const std::size_t item : question.items) formula.items[item].ingredient = id;
    question.choices.push_back({id, tables.display_name(id),
                                predicted_ph(formula, tables, conditions),
                                limits_exceeded(formula, tables, judging)});
  }
  return question;
}

std::string said(const Question::Choice& choice) {
  std::string facts = choice.ph ? fmt::format("pH {:.2f}", *choice.ph) : std::string();
  if (choice.limits_exceeded > 0) facts += facts.empty() ? "over a limit" : ", over a limit";
  return facts.empty() ? choice.name : fmt::format("{} ({})", choice.name, facts);
}

}  // namespace

double Question::spread() const {
  std::vector<double> all;
  for (const auto& choice : choices)
    if (choice.ph) all.push_back(*choice.ph);
  if (all.empty()) return 0;
  const auto [low, high] = std::ranges::minmax(all);
  return high - low;
}

bool Question::decides_a_limit() const {
  return std::ranges::any_of(choices, [&](const Choice& choice) {
    return choice.limits_exceeded != choices.front().limits_exceeded;
  });
}

std::vector<Question> questions_of(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions, const Judging& judging) {
  std::vector<Question> questions;
  std::set<std::size_t> asked;
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    if (formula.items[i].alternatives.empty() || asked.contains(i)) continue;
    auto items = lines_like(i, formula);
    asked.insert(items.begin(), items.end());
    questions.push_back(question_about(std::move(items), formula, tables, conditions, judging));
  }
  return questions;
}

std::vector<Problem> must_be_said(const std::vector<Question>& questions, const Formula& formula) {
  double together = 0;
  for (const auto& question : questions) together += question.spread();
  std::vector<Problem> problems;
  for (const auto& question : questions) {
    const bool has_a_part = together > most_guessed && question.spread() > 0.1 * most_guessed;
    if (!has_a_part && !question.decides_a_limit()) continue;
    const auto& item = formula.items[question.items.front()];
    std::vector<std::string> choices, names;
    for (const auto& choice : question.choices) {
      choices.push_back(said(choice));
      names.push_back(choice.name);
    }
    add_problem(problems, item.place,
                fmt::format("'{}' may be {}", item.written, fmt::join(choices, " or ")),
                "the name of the one that is weighed", std::move(names));
  }
  return problems;
}

}  // namespace counterion
