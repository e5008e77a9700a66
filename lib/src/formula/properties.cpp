// SPDX-License-Identifier: MIT
#include "amount.hpp"
#include "draft.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <span>

namespace counterion::formula {
namespace {

using Words = std::span<const std::string_view>;

void set_word(std::string& property, Words words, const std::string& key,
              const std::string& value, Draft& draft, const Place& place) {
  const auto same = [&](const auto& word) {
    return text::normalise(word) == text::normalise(value);
  };
  const auto found = std::ranges::find_if(words, same);
  if (found == words.end()) {
    draft.problem(place, fmt::format("'{}' as {}", value, key), list_words({words.begin(), words.end()}));
  } else {
    property = *found;
  }
}

}  // namespace

std::optional<double> mass_property(const std::string& key, const std::string& value,
                                    const Place& place, Findings& findings) {
  const auto mass = read_mass_g(value);
  if (!mass) {
    findings.problem(place, fmt::format("'{}' as {}", value, key),
                     "a mass above 0 in g or kg, such as 500 g");
  }
  return mass;
}

bool set_property(Draft& draft, const std::string& key, const std::string& value,
                  const Place& place) {
  if (key == "name") {
    draft.name = value;
  } else if (key == "batch") {
    if (const auto mass = mass_property(key, value, place, draft)) draft.batch_g = mass;
  } else if (key == "use") {
    set_word(draft.use, product_uses, key, value, draft, place);
  } else if (key == "type") {
    set_word(draft.product_type, product_types, key, value, draft, place);
  } else {
    return false;
  }
  return true;
}

}  // namespace counterion::formula
