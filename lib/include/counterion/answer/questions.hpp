// SPDX-License-Identifier: MIT
// Names that may mean several materials: what difference it makes, and whether the person must say.
#pragma once

#include <counterion/batch/prediction.hpp>

#include <optional>
#include <string>
#include <vector>

namespace counterion {

/// A line whose name may mean several materials.
struct Question {
  struct Choice {
    std::string ingredient;
    std::string name;
    std::optional<double> ph;  ///< of the whole formula, were it this one; empty where it has none
  };
  std::size_t item = 0;
  std::vector<Choice> choices;  ///< what was taken first
  /// Largest difference of pH between the choices.
  double spread() const;
};

/// More than this and nobody guesses, pH units: what a bench meter can tell.
inline constexpr double most_guessed = 0.1;

/// The questions that a formula's names leave open, each answered for itself with the others as taken.
std::vector<Question> questions_of(const Formula& formula, const Tables& tables,
                                   const Conditions& conditions = {});

/// What to ask the person: one problem for each question whose choices differ by more than
/// most_guessed, with the names that say it.
std::vector<Problem> must_be_said(const std::vector<Question>& questions, const Formula& formula);

}  // namespace counterion
