// SPDX-License-Identifier: MIT
#include "readings.hpp"

#include "asked.hpp"
#include "storage.hpp"

#include <counterion/dosing/amounts.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace counterion::cli {
namespace {

/// "25.7 g citric acid 20 %" as grams of an adjuster.
Portion portion_of(std::string_view text, const Tables& tables) {
  const auto first = text.find_first_not_of(' ');
  const auto digits = text.find(' ', std::min(first, text.size()));
  const auto unit = text.find_first_not_of(' ', std::min(digits, text.size()));
  const auto name = text.find(' ', std::min(unit, text.size()));
  const std::string mass(text.substr(std::min(first, text.size()), name - first));
  if (name == text.npos || mass.find_first_of("gG") == mass.npos)
    refuse(fmt::format("after '{}'", text),
           "grams and what was added, such as \"25.7 g citric acid 20 %\", or a time such as \"7 "
           "days\"");
  const std::string written(text.substr(text.find_first_not_of(' ', name)));
  return {adjuster_named(written, tables), grams_of(mass, "--reading … after")};
}

/// What stands behind an "after": how old the batch was, or what had been added.
void add_circumstance(std::string_view text, BatchReading& reading, const Tables& tables) {
  if (const auto days = days_in(text))
    reading.age_days = *days;
  else
    reading.added.push_back(portion_of(text, tables));
}

}  // namespace

BatchReading reading_of(std::string_view text, const Tables& tables) {
  constexpr std::string_view word = " after ";
  auto after = text.find(word);
  BatchReading reading;
  reading.ph = number_of(std::string(text.substr(0, after)), "--reading",
                         "a pH, \"5.1 after 25.7 g citric acid 20 %\" or \"4.3 after 7 days\"");
  while (after != text.npos) {
    text.remove_prefix(after + word.size());
    after = text.find(word);
    add_circumstance(text.substr(0, after), reading, tables);
  }
  return reading;
}

}  // namespace counterion::cli
