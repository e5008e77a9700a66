// SPDX-License-Identifier: MIT
// Short ways to read formulas in tests.
#pragma once

#include <counterion/formula/read.hpp>

#include <algorithm>
#include <filesystem>
#include <string>

namespace counterion::test {

inline std::filesystem::path formula_path(const std::string& name) {
  return std::filesystem::path(COUNTERION_SOURCE_DIR) / "tests" / "data" / "formulas" / name;
}

inline Formula read(std::string_view text, bool allow_unlisted = false) {
  return read_formula(text, "f.csv", Tables::built_in(), {allow_unlisted});
}

/// What is wrong with a formula; empty when it can be read.
inline std::vector<Problem> problems_of(std::string_view text, bool allow_unlisted = false) {
  try {
    read(text, allow_unlisted);
  } catch (const BadInput& error) {
    return error.problems();
  }
  return {};
}

/// Whether a diagnostic speaks of this.
inline bool says(const Formula& formula, const std::string& words) {
  return std::ranges::any_of(formula.diagnostics, [&](const auto& diagnostic) {
    return diagnostic.message.find(words) != std::string::npos;
  });
}

inline double percent_of(const Formula& formula, const std::string& ingredient) {
  for (const auto& item : formula.items) {
    if (item.ingredient == ingredient || item.written == ingredient) return item.percent;
  }
  return -1;
}

}  // namespace counterion::test
