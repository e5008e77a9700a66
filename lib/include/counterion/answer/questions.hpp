// SPDX-License-Identifier: MIT
// Names that may mean several materials: what difference it makes, and whether the person must say.
#pragma once

#include <counterion/judgement/cautions.hpp>

#include <optional>
#include <string>
#include <vector>

namespace counterion {

/// A name that may mean several materials, and the lines that have it.
struct Question {
  struct Choice {
    std::string ingredient;
    std::string name;
    std::optional<double> ph;  ///< of the whole formula, were it this one; empty where it has none
    std::size_t limits_exceeded = 0;  ///< limits of law that the formula would exceed
  };
  std::vector<std::size_t> items;
  std::vector<Choice> choices;  ///< what was taken first
  /// Largest difference of pH between the choices.
  double spread() const;
  /// Whether the law allows some of the choices and not others.
  bool decides_a_limit() const;
};

/// More than this and nobody guesses, pH units: what a bench meter can tell.
inline constexpr double most_guessed = 0.1;

/// The questions that a formula's names leave open, each answered for itself with the others as
/// taken; lines with the same meanings are one question.
std::vector<Question> questions_of(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions = {}, const Judging& judging = {});

/// What to ask the person, with the names that say it: questions whose choices decide a limit of
/// law, and where all of them together differ by more than most_guessed those that have a part in
/// it.
std::vector<Problem> must_be_said(const std::vector<Question>& questions, const Formula& formula);

}  // namespace counterion
