// SPDX-License-Identifier: MIT
#include "findings.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

constexpr std::size_t most_problems = 200;

/// Leaves out what nobody would read.
void shorten(Findings& findings) {
  auto& problems = findings.problems;
  if (problems.size() <= most_problems) return;
  const auto further = problems.size() - most_problems;
  problems.resize(most_problems);
  findings.problem({findings.file, 0, 0}, fmt::format("{} further faults", further), "");
}

template <class Said>
void sort_all(std::vector<Said>& said) {
  std::ranges::stable_sort(
      said, {}, [](const Said& one) { return std::pair(one.place.line, one.place.column); });
}

}  // namespace

void sort_by_place(Findings& findings) {
  sort_all(findings.problems);
  sort_all(findings.diagnostics);
}

void conclude(Findings& findings) {
  sort_by_place(findings);
  shorten(findings);
  if (!findings.problems.empty()) throw BadInput(std::move(findings.problems));
}

}  // namespace counterion::formula
