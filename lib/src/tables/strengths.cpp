// SPDX-License-Identifier: MIT
#include "strengths.hpp"

#include "content.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion::tables {
namespace {

/// The words of a name without those around it that only speak of a solution.
std::string base_words(std::string_view text) {
  static constexpr std::array<std::string_view, 29> fillers{
      "a",        "active",    "al",     "aq",      "aqueous", "d",      "de",        "di",
      "ig",       "ige",       "iger",   "iges",    "in",      "losung", "oplossing", "pct",
      "procent",  "prozent",   "pure",   "roztwor", "sol",     "soln",   "solucao",   "solucion",
      "solution", "soluzione", "wasser", "water",   "ww"};
  const auto is_filler = [](std::string_view word) {
    return std::ranges::find(fillers, text::normalise(word)) != fillers.end();
  };
  auto words = split_words(text, " ,;()[]'");
  for (auto& word : words)
    for (const std::string_view tail : {"-L\u00f6sung", "-l\u00f6sung", "-solution"})
      if (word.ends_with(tail)) word.remove_suffix(tail.size());
  while (!words.empty() && is_filler(words.back())) words.pop_back();
  const auto first = std::ranges::find_if_not(words, is_filler);
  std::string base;
  for (auto word = first; word != words.end(); ++word) base.append(*word) += ' ';
  return base;
}

}  // namespace

std::vector<std::string_view> split_words(std::string_view name, std::string_view separators) {
  std::vector<std::string_view> words;
  for (std::size_t begin = 0; begin < name.size();) {
    const auto end = std::min(name.find_first_of(separators, begin), name.size());
    const auto word = text::trim(name.substr(begin, end - begin));
    if (!word.empty()) words.push_back(word);
    begin = end + 1;
  }
  return words;
}

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

std::optional<Strength> split_strength(std::string_view name) {
  const auto sign = name.find('%');
  if (sign == std::string_view::npos) return {};
  const auto before = text::trim(name.substr(0, sign));
  const auto last = before.find_last_not_of("0123456789.,");
  const auto begin = last == std::string_view::npos ? 0 : last + 1;
  const auto number = text::read_number(before.substr(begin)).number;
  if (!number) return {};
  const auto around =
      std::string(before.substr(0, begin)) + " " + std::string(name.substr(sign + 1));
  return Strength{base_words(around), number->value};
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
