// SPDX-License-Identifier: MIT
#include <counterion/text/strength.hpp>

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>

namespace counterion::text {
namespace {

/// The words of a name without those around it that only speak of a solution.
std::string base_words(std::string_view text) {
  static constexpr std::array<std::string_view, 29> fillers{
      "a",        "active",    "al",     "aq",      "aqueous", "d",      "de",        "di",
      "ig",       "ige",       "iger",   "iges",    "in",      "losung", "oplossing", "pct",
      "procent",  "prozent",   "pure",   "roztwor", "sol",     "soln",   "solucao",   "solucion",
      "solution", "soluzione", "wasser", "water",   "ww"};
  const auto is_filler = [](std::string_view word) {
    return std::ranges::find(fillers, normalise(word)) != fillers.end();
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
    const auto word = trim(name.substr(begin, end - begin));
    if (!word.empty()) words.push_back(word);
    begin = end + 1;
  }
  return words;
}

std::optional<Strength> split_strength(std::string_view name) {
  const auto sign = name.find('%');
  if (sign == std::string_view::npos) return {};
  const auto before = trim(name.substr(0, sign));
  const auto last = before.find_last_not_of("0123456789.,");
  const auto begin = last == std::string_view::npos ? 0 : last + 1;
  const auto number = read_number(before.substr(begin)).number;
  if (!number) return {};
  const auto around =
      std::string(before.substr(0, begin)) + " " + std::string(name.substr(sign + 1));
  return Strength{base_words(around), number->value};
}

}  // namespace counterion::text
