// SPDX-License-Identifier: MIT
#include "facts.hpp"

#include "words.hpp"

#include <algorithm>

namespace counterion::report {
namespace {

bool share_a_line(const std::vector<std::size_t>& a, const std::vector<std::size_t>& b) {
  return std::ranges::find_first_of(a, b) != a.end();
}

bool is_preservative(const CheckResult& result, std::size_t item) {
  const auto& line = result.formula.items[item];
  return line.listed() && has_function(*result.tables.ingredient(line.ingredient), "preservative");
}

}  // namespace

std::string joined_names(const CheckResult& result, const std::vector<std::size_t>& items) {
  std::vector<std::string> names;
  for (const std::size_t i : items) names.push_back(result.name_of(i));
  return joined(names);
}

std::vector<std::size_t> remedies_of(const Conflict& conflict, const CheckResult& result) {
  const auto& below = result.window.ranges[conflict.a].items;
  const auto& above = result.window.ranges[conflict.b].items;
  std::vector<std::size_t> positions;
  for (std::size_t r = 0; r < result.remedies.size(); ++r)
    if (std::ranges::any_of(result.remedies[r].changes, [&](const Change& change) {
          return share_a_line(change.items, below) || share_a_line(change.items, above);
        }))
      positions.push_back(r);
  return positions;
}

std::vector<std::string> weakening(const CheckResult& result) {
  std::vector<std::string> ids;
  for (const auto& caution : result.cautions) {
    const auto preservatives = std::ranges::count_if(caution.items, [&](std::size_t i) { return is_preservative(result, i); });
    if (preservatives > 0 && static_cast<std::size_t>(preservatives) < caution.items.size()) ids.push_back(caution.id);
  }
  return ids;
}

}  // namespace counterion::report
