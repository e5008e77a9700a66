// SPDX-License-Identifier: MIT
#include <counterion/answer/questions.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace counterion {
namespace {

std::optional<double> predicted_ph(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions) {
  const auto phase = water_phase_of(formula, tables, conditions);
  return phase ? std::optional(predict(*phase, 0).ph) : std::nullopt;
}

Question question_about(std::size_t item, Formula formula, const Tables& tables,
                        const Conditions& conditions) {
  Question question{item, {}};
  const FormulaItem asked = formula.items[item];
  std::vector<std::string> meant = asked.alternatives;
  meant.insert(meant.begin(), asked.ingredient);
  for (const auto& id : meant) {
    formula.items[item].ingredient = id;
    question.choices.push_back(
        {id, tables.display_name(id), predicted_ph(formula, tables, conditions)});
  }
  return question;
}

std::string said(const Question::Choice& choice) {
  return choice.ph ? fmt::format("{} (pH {:.2f})", choice.name, *choice.ph) : choice.name;
}

}  // namespace

double Question::spread() const {
  double low = 14, high = 0;
  for (const auto& choice : choices) {
    if (!choice.ph) return 0;
    low = std::min(low, *choice.ph);
    high = std::max(high, *choice.ph);
  }
  return std::max(0.0, high - low);
}

std::vector<Question> questions_of(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions) {
  std::vector<Question> questions;
  for (std::size_t i = 0; i < formula.items.size(); ++i)
    if (!formula.items[i].alternatives.empty())
      questions.push_back(question_about(i, formula, tables, conditions));
  return questions;
}

std::vector<Problem> must_be_said(const std::vector<Question>& questions, const Formula& formula) {
  std::vector<Problem> problems;
  for (const auto& question : questions) {
    if (question.spread() <= most_guessed) continue;
    const auto& item = formula.items[question.item];
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
