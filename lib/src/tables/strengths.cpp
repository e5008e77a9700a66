// SPDX-License-Identifier: MIT
#include "strengths.hpp"

#include "content.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <cmath>

namespace counterion::tables {

double water_fraction(const Composition& composition, std::string_view ingredient) {
  double water = 0;
  for (const auto& row : rows_of(composition, &Component::ingredient, ingredient))
    if (row.component == "water") water += row.mass_fraction;
  return water;
}

std::optional<double> number_of_id(std::string_view id) {
  const auto dash = id.rfind('-');
  return dash == id.npos ? std::nullopt : text::read_plain_number(id.substr(dash + 1));
}

std::optional<double> stated_strength(const Composition& composition, std::string_view id) {
  const auto stated = number_of_id(id);
  const auto held = 100 * (1 - water_fraction(composition, id));
  const bool fits = stated && std::abs(*stated - held) < 10;
  return fits ? stated : std::nullopt;
}

bool is_dilution(const Composition& composition, std::string_view id) {
  const auto strength = stated_strength(composition, id);
  return strength && *strength < 95;
}

std::vector<double> decimals_in(std::string_view text) {
  constexpr std::string_view digits = "0123456789";
  std::vector<double> numbers;
  for (auto mark = text.find_first_of(".,"); mark != text.npos;
       mark = text.find_first_of(".,", mark + 1)) {
    const auto before = text.find_last_not_of(digits, mark - (mark > 0 ? 1 : 0));
    const auto begin = mark == 0 ? 0 : before == text.npos ? 0 : before + 1;
    const auto end = std::min(text.find_first_not_of(digits, mark + 1), text.size());
    if (begin == mark || end == mark + 1) continue;
    const auto number = std::string(text.substr(begin, mark - begin)) + "." +
                        std::string(text.substr(mark + 1, end - mark - 1));
    if (const auto value = text::read_plain_number(number)) numbers.push_back(*value);
  }
  return numbers;
}

}  // namespace counterion::tables
