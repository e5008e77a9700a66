// SPDX-License-Identifier: MIT
// Strengths in names as people write them.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::text {

/// A name with its strength taken off: "Lactic acid, 80 % solution" is lactic acid and 80.
struct Strength {
  std::string base;
  double percent = 0;
};

/// Takes the strength off a name; empty where it states none.
std::optional<Strength> split_strength(std::string_view name);

/// The parts of a text between these characters, trimmed; empty ones are left out.
std::vector<std::string_view> split_words(std::string_view text, std::string_view separators);

}  // namespace counterion::text
