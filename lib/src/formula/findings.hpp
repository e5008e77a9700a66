// SPDX-License-Identifier: MIT
// What is found wrong or worth saying while a file is read.
#pragma once

#include <counterion/formula/formula.hpp>

#include <string>
#include <utility>
#include <vector>

namespace counterion::formula {

/// Faults, which stop the work when all is read, and what is only said.
struct Findings {
  std::string file;
  std::vector<Problem> problems;
  std::vector<Diagnostic> diagnostics;

  void problem(Place place, std::string found, std::string expected,
               std::vector<std::string> suggestions = {}) {
    add_problem(problems, std::move(place), std::move(found), std::move(expected),
                std::move(suggestions));
  }
  void say(Place place, std::string message) {
    diagnostics.push_back({std::move(place), std::move(message)});
  }
};

/// Puts all in the order of the file.
void sort_by_place(Findings& findings);

/// Puts all in the order of the file; throws BadInput where there are faults, as many as anybody
/// would read.
void conclude(Findings& findings);

}  // namespace counterion::formula
