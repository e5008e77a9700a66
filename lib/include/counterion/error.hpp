// SPDX-License-Identifier: MIT
// What can be wrong with an input, and how it is said.
#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace counterion {

/// Where in a file something stands; lines and columns (cells) count from 1, 0 means not known.
struct Place {
  std::string file;
  std::size_t line = 0;
  std::size_t column = 0;
  bool operator==(const Place&) const = default;
};

/// One fault of an input: where, what was found, what was expected, and the nearest valid names.
struct Problem {
  Place place;
  std::string found;
  std::string expected;
  std::vector<std::string> suggestions;
  bool operator==(const Problem&) const = default;
};

/// The place as people write it, "cream.csv, line 4, column 2"; empty when nothing is known.
inline std::string describe(const Place& place) {
  std::string text = place.file;
  const auto add = [&text](const char* word, std::size_t number) {
    if (number == 0) return;
    if (!text.empty()) text += ", ";
    text += word + std::to_string(number);
  };
  add("line ", place.line);
  add("column ", place.column);
  return text;
}

/// The fault as one line of plain text.
inline std::string describe(const Problem& problem) {
  std::string text = describe(problem.place);
  if (!text.empty()) text += ": ";
  text += problem.found;
  if (!problem.expected.empty()) text += "; expected " + problem.expected;
  for (std::size_t i = 0; i < problem.suggestions.size(); ++i) {
    text += (i == 0 ? "; did you mean " : i + 1 == problem.suggestions.size() ? " or " : ", ");
    text += "'" + problem.suggestions[i] + "'";
  }
  if (!problem.suggestions.empty()) text += "?";
  return text;
}

/// Adds a fault to a list of faults.
inline void add_problem(std::vector<Problem>& problems, Place place, std::string found,
                        std::string expected, std::vector<std::string> suggestions = {}) {
  auto& problem = problems.emplace_back();
  problem.place = std::move(place);
  problem.found = std::move(found);
  problem.expected = std::move(expected);
  problem.suggestions = std::move(suggestions);
}

/// Base of everything this library throws on purpose.
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// An input that cannot be used; carries every fault that was found, not only the first.
class BadInput : public Error {
 public:
  explicit BadInput(std::vector<Problem> problems)
      : Error(text_of(problems)), problems_(std::move(problems)) {}
  const std::vector<Problem>& problems() const noexcept { return problems_; }

 private:
  static std::string text_of(const std::vector<Problem>& problems) {
    std::string text;
    for (const auto& problem : problems) {
      if (!text.empty()) text += '\n';
      text += describe(problem);
    }
    return text;
  }
  std::vector<Problem> problems_;
};

/// A name that no table knows; carries the nearest names that they do know.
class UnknownIngredient : public Error {
 public:
  UnknownIngredient(std::string name, std::vector<std::string> suggestions)
      : Error(describe(Problem{{}, "no ingredient is called '" + name + "'", "", suggestions})),
        name_(std::move(name)),
        suggestions_(std::move(suggestions)) {}
  const std::string& name() const noexcept { return name_; }
  const std::vector<std::string>& suggestions() const noexcept { return suggestions_; }

 private:
  std::string name_;
  std::vector<std::string> suggestions_;
};

}  // namespace counterion
