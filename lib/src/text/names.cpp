// SPDX-License-Identifier: MIT
#include <counterion/text/names.hpp>

#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <numeric>
#include <utility>
#include <vector>

namespace counterion::text {
namespace {

/// U+00C0 to U+017F in lower case without diacritics; empty for the two signs.
constexpr std::array<std::string_view, 192> latin{
    "a", "a", "a",  "a",  "a", "a", "ae", "c",  "e",  "e", "e", "e", "i",  "i",  "i", "i", "d", "n",
    "o", "o", "o",  "o",  "o", "",  "o",  "u",  "u",  "u", "u", "y", "th", "ss", "a", "a", "a", "a",
    "a", "a", "ae", "c",  "e", "e", "e",  "e",  "i",  "i", "i", "i", "d",  "n",  "o", "o", "o", "o",
    "o", "",  "o",  "u",  "u", "u", "u",  "y",  "th", "y", "a", "a", "a",  "a",  "a", "a", "c", "c",
    "c", "c", "c",  "c",  "c", "c", "d",  "d",  "d",  "d", "e", "e", "e",  "e",  "e", "e", "e", "e",
    "e", "e", "g",  "g",  "g", "g", "g",  "g",  "g",  "g", "h", "h", "h",  "h",  "i", "i", "i", "i",
    "i", "i", "i",  "i",  "i", "i", "ij", "ij", "j",  "j", "k", "k", "k",  "l",  "l", "l", "l", "l",
    "l", "l", "l",  "l",  "l", "n", "n",  "n",  "n",  "n", "n", "n", "n",  "n",  "o", "o", "o", "o",
    "o", "o", "oe", "oe", "r", "r", "r",  "r",  "r",  "r", "s", "s", "s",  "s",  "s", "s", "s", "s",
    "t", "t", "t",  "t",  "t", "t", "u",  "u",  "u",  "u", "u", "u", "u",  "u",  "u", "u", "u", "u",
    "w", "w", "y",  "y",  "y", "z", "z",  "z",  "z",  "z", "z", "s"};

using Spelling = std::pair<std::string_view, std::string_view>;

constexpr std::array<Spelling, 10> greek{{{"α", "alpha"},
                                         {"β", "beta"},
                                         {"γ", "gamma"},
                                         {"δ", "delta"},
                                         {"ω", "omega"},
                                         {"Α", "alpha"},
                                         {"Β", "beta"},
                                         {"Γ", "gamma"},
                                         {"Δ", "delta"},
                                         {"Ω", "omega"}}};

/// British and older spellings of the trade, after folding.
constexpr std::array<Spelling, 9> spellings{{{"sulph", "sulf"},
                                             {"aluminium", "aluminum"},
                                             {"colour", "color"},
                                             {"odour", "odor"},
                                             {"ionis", "ioniz"},
                                             {"moisturis", "moisturiz"},
                                             {"solubilis", "solubiliz"},
                                             {"glycerine", "glycerin"},
                                             {"liquorice", "licorice"}}};

/// How many waters, as formulas and languages write it, after folding; longer numbers first.
constexpr std::array<Spelling, 34> waters{{{"wasserfreies", "anhydrous"},
                                           {"wasserfreie", "anhydrous"},
                                           {"wasserfrei", "anhydrous"},
                                           {"watervrij", "anhydrous"},
                                           {"anhydre", "anhydrous"},
                                           {"anhidro", "anhydrous"},
                                           {"anidro", "anhydrous"},
                                           {"hidrato", "hydrate"},
                                           {"idrato", "hydrate"},
                                           {"hydraat", "hydrate"},
                                           {"monoh2o", "monohydrate"},
                                           {"x12h2o", "dodecahydrate"},
                                           {"12h2o", "dodecahydrate"},
                                           {"x10h2o", "decahydrate"},
                                           {"10h2o", "decahydrate"},
                                           {"x9h2o", "nonahydrate"},
                                           {"9h2o", "nonahydrate"},
                                           {"x8h2o", "octahydrate"},
                                           {"8h2o", "octahydrate"},
                                           {"x7h2o", "heptahydrate"},
                                           {"7h2o", "heptahydrate"},
                                           {"x6h2o", "hexahydrate"},
                                           {"6h2o", "hexahydrate"},
                                           {"x5h2o", "pentahydrate"},
                                           {"5h2o", "pentahydrate"},
                                           {"x4h2o", "tetrahydrate"},
                                           {"4h2o", "tetrahydrate"},
                                           {"x3h2o", "trihydrate"},
                                           {"3h2o", "trihydrate"},
                                           {"x2h2o", "dihydrate"},
                                           {"2h2o", "dihydrate"},
                                           {"xh2o", "monohydrate"},
                                           {"1h2o", "monohydrate"},
                                           {"bihydrate", "dihydrate"}}};

constexpr bool is_between(char32_t point, char32_t first, char32_t last) noexcept {
  return point >= first && point <= last;
}

/// Signs, marks and blanks: combining marks, punctuation, symbols, variation selectors.
constexpr bool is_sign(char32_t point) noexcept {
  return is_between(point, 0x80, 0xBF) || is_between(point, 0x2B0, 0x36F) ||
         is_between(point, 0x2000, 0x2BFF) || is_between(point, 0x3000, 0x303F) ||
         is_between(point, 0xFE00, 0xFE0F) || point == 0xFEFF || point == 0xFFFD;
}

void append_ascii(std::string& key, char32_t point) {
  const auto c = static_cast<char>(point);
  if (c >= 'A' && c <= 'Z') key += static_cast<char>(c - 'A' + 'a');
  if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) key += c;
}

void append_folded(std::string& key, char32_t point) {
  if (point < 0x80) return append_ascii(key, point);
  if (is_between(point, 0xC0, 0x17F)) {
    key += latin[point - 0xC0];
  } else if (is_between(point, 0x2080, 0x2089)) {
    key += static_cast<char>('0' + (point - 0x2080));
  } else if (is_between(point, 0x218, 0x21B)) {
    key += point < 0x21A ? 's' : 't';
  } else if (!is_sign(point)) {
    append_code_point(key, point);
  }
}

void replace_all(std::string& text, Spelling spelling) {
  for (auto at = text.find(spelling.first); at != std::string::npos;
       at = text.find(spelling.first, at + spelling.second.size())) {
    text.replace(at, spelling.first.size(), spelling.second);
  }
}

/// "Dihydrat", "x 2 H2O" and "dihydraté" read as "dihydrate", "wasserfrei" as "anhydrous".
void name_waters(std::string& key) {
  if (key == "h2o") return;
  for (const auto& spelling : waters) replace_all(key, spelling);
  constexpr std::string_view german = "hydrat", formula = "h2o";
  if (key.ends_with(german)) key += 'e';
  if (key.ends_with("hydratee")) key.pop_back();
  if (key.size() > formula.size() && key.ends_with(formula))
    key.replace(key.size() - formula.size(), formula.size(), "monohydrate");
}

/// Which bytes occur in a text, four to a bit.
std::uint64_t bytes_of(std::string_view text) noexcept {
  std::uint64_t set = 0;
  for (const char c : text) set |= std::uint64_t{1} << (static_cast<unsigned char>(c) & 63U);
  return set;
}

/// No fewer edits than this can do: every byte that only one text has costs one.
std::size_t least_edits(std::string_view a, std::string_view b) noexcept {
  const auto in_a = bytes_of(a), in_b = bytes_of(b);
  const auto differing = std::max(std::popcount(in_a & ~in_b), std::popcount(in_b & ~in_a));
  const auto longer = std::max(a.size(), b.size()) - std::min(a.size(), b.size());
  return std::max(longer, static_cast<std::size_t>(differing));
}

}  // namespace

std::string normalise(std::string_view name) {
  std::string key;
  while (!name.empty()) append_folded(key, take_code_point(name));
  for (const auto& letter : greek) replace_all(key, letter);
  for (const auto& spelling : spellings) replace_all(key, spelling);
  name_waters(key);
  return key;
}

// Optimal string alignment with three rows; a row whose least entry is beyond `most` ends it.
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t most) {
  if (least_edits(a, b) > most) return most + 1;
  std::vector<std::size_t> before_last(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  std::iota(last.begin(), last.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t least = row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min(std::min(last[j], row[j - 1]) + 1, last[j - 1] + change);
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
      least = std::min(least, row[j]);
    }
    if (least > most) return most + 1;
    std::swap(before_last, last);
    std::swap(last, row);
  }
  return std::min(last[b.size()], most + 1);
}

}  // namespace counterion::text
