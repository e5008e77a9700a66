// SPDX-License-Identifier: MIT
#include "content.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace counterion::tables {
namespace {

using Found = std::optional<std::size_t>;
constexpr std::size_t longest_name = 200;  // bytes; nobody's ingredient is longer

// ---- building ----

void add_name(NameIndex& index, const std::string& name, std::size_t ingredient) {
  const auto [entry, is_new] =
      index.names.try_emplace(text::normalise(name), KnownName{name, ingredient});
  if (!is_new && entry->second.ingredient == ingredient) entry->second.shown = name;
}

/// Adds what may be shared (an INCI name, a CAS number): to the names where one has it, else apart.
void add_shareable(NameIndex& index, const Rows& rows, std::string Ingredient::*member) {
  std::map<std::string, std::vector<std::size_t>> owners;
  for (std::size_t i = 0; i < rows.ingredients.size(); ++i) {
    const auto& name = rows.ingredients[i].*member;
    if (!name.empty()) owners[text::normalise(name)].push_back(i);
  }
  for (auto& [key, ingredients] : owners) {
    if (ingredients.size() == 1) {
      add_name(index, rows.ingredients[ingredients[0]].*member, ingredients[0]);
    } else {
      index.shared.emplace(key, std::move(ingredients));
    }
  }
}

// ---- finding ----

Found find_key(const NameIndex& index, const std::string& key) {
  const auto found = index.names.find(key);
  return found == index.names.end() ? Found() : Found(found->second.ingredient);
}

/// A shared CAS number or INCI name means the ingredient that the plain name has been given to.
Found find_shared(const Rows& rows, const NameIndex& index, const std::string& key) {
  const auto shared = index.shared.find(key);
  if (shared == index.shared.end()) return {};
  const auto usual = find_key(index, text::normalise(rows.ingredients[shared->second[0]].inci));
  const bool among = usual && std::ranges::find(shared->second, *usual) != shared->second.end();
  return among ? usual : Found();
}

Found find_plain(const Rows& rows, const NameIndex& index, std::string_view name) {
  const auto key = text::normalise(name);
  if (key.empty()) return {};
  const auto found = find_key(index, key);
  return found ? found : find_shared(rows, index, key);
}

std::vector<std::string> split_words(std::string_view name, std::string_view separators) {
  std::vector<std::string> words;
  for (std::size_t begin = 0; begin < name.size();) {
    const auto end = std::min(name.find_first_of(separators, begin), name.size());
    const auto word = text::trim(name.substr(begin, end - begin));
    if (!word.empty()) words.emplace_back(word);
    begin = end + 1;
  }
  return words;
}

bool says_nothing_of_its_own(std::string_view part) {
  constexpr std::array<std::string_view, 14> grades{
      "vegetable", "pure",    "usp",    "bp",       "ep",      "pheur",  "nf",
      "fcc",       "natural", "powder", "crystals", "pellets", "flakes", "granules"};
  return std::ranges::find(grades, text::normalise(part)) != grades.end();
}

/// "Aqua (Water)", "Aqua/Water/Eau", "Glycerin (vegetable)": parts that all name the same thing.
Found find_alternatives(const Rows& rows, const NameIndex& index, std::string_view name) {
  Found found;
  for (const auto& part : split_words(name, "()[]/,;")) {
    const auto one = find_plain(rows, index, part);
    if (!one && found && says_nothing_of_its_own(part)) continue;
    if (!one || (found && *one != *found)) return {};
    found = one;
  }
  return found;
}

/// A name with its strength taken off: "Lactic acid, 80 % solution" is lactic acid and 80.
struct Strength {
  std::string base;
  double percent = 0;
};

std::string base_words(std::string_view text) {
  constexpr std::array<std::string_view, 11> fillers{"solution", "soln",     "sol",    "aqueous",
                                                     "aq",       "ww",       "active", "losung",
                                                     "inwater",  "inwasser", "pure"};
  std::string base;
  for (const auto& word : split_words(text, " ,;()[]")) {
    if (std::ranges::find(fillers, text::normalise(word)) == fillers.end()) base += word + " ";
  }
  for (const std::string_view tail : {"in water ", "in wasser "}) {
    if (base.ends_with(tail)) base.erase(base.size() - tail.size());
  }
  return base;
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

double water_fraction(const Rows& rows, const std::string& ingredient) {
  double water = 0;
  for (const auto& row : rows.composition) {
    if (row.ingredient == ingredient && row.component == "water") water += row.mass_fraction;
  }
  return water;
}

/// Whether the id itself states a strength, lactic-acid-80, unlike polysorbate-20.
bool is_diluted(const Rows& rows, std::size_t position) {
  const auto& id = rows.ingredients[position].id;
  const auto dash = id.rfind('-');
  if (dash == std::string::npos) return false;
  const auto stated = text::read_plain_number(std::string_view(id).substr(dash + 1));
  const auto held = 100 * (1 - water_fraction(rows, id));
  return stated && *stated < 95 && std::abs(*stated - held) < 6;
}

Found find_pure(const Rows& rows, const NameIndex& index, const std::string& base) {
  const auto found = find_plain(rows, index, base);
  return found && !is_diluted(rows, *found) ? found : Found();
}

Found find_strength(const Rows& rows, const NameIndex& index, std::string_view name) {
  const auto strength = split_strength(name);
  if (!strength) return {};
  const auto exact =
      find_plain(rows, index, strength->base + text::format_number(strength->percent));
  if (exact) return exact;
  return strength->percent == 100 ? find_pure(rows, index, strength->base) : Found();
}

// ---- suggesting ----

struct Near {
  std::size_t distance = 0;
  std::string shown;
  auto operator<=>(const Near&) const = default;
};

/// Edits between the names; beyond them, beginnings and parts of names come last.
std::optional<std::size_t> distance_between(const std::string& wanted, const std::string& known) {
  const auto forgiven = text::forgiven_edits(wanted.size());
  const auto edits = text::edit_distance(wanted, known, forgiven);
  if (edits <= forgiven) return edits;
  const bool begins = wanted.size() >= 4 && known.size() >= 4 &&
                      (known.starts_with(wanted) || wanted.starts_with(known));
  if (begins) return forgiven + 1;
  const bool holds = wanted.size() >= 5 && known.find(wanted) != std::string::npos;
  return holds ? std::optional(forgiven + 2) : std::nullopt;
}

using NearByIngredient = std::map<std::size_t, Near>;

void offer(NearByIngredient& near, std::size_t ingredient, Near candidate) {
  const auto [entry, is_new] = near.try_emplace(ingredient, candidate);
  if (!is_new && candidate < entry->second) entry->second = std::move(candidate);
}

void offer_all_of_inci(NearByIngredient& near, const Rows& rows, const std::string& inci) {
  for (std::size_t i = 0; i < rows.ingredients.size(); ++i) {
    if (rows.ingredients[i].inci == inci) offer(near, i, {0, rows.ingredients[i].id});
  }
}

/// The grades and strengths of a material whose bare name is known.
void offer_grades(NearByIngredient& near, const Rows& rows, const NameIndex& index,
                  std::string_view name) {
  const auto strength = split_strength(name);
  const auto base = strength ? strength->base : std::string(name);
  const auto shared = index.shared.find(text::normalise(base));
  const auto found = find_plain(rows, index, base);
  if (shared != index.shared.end()) {
    for (const auto i : shared->second) offer(near, i, {0, rows.ingredients[i].id});
  } else if (found && is_shared_inci(index, rows.ingredients[*found].inci)) {
    offer_all_of_inci(near, rows, rows.ingredients[*found].inci);
  } else if (found) {
    offer(near, *found, {0, rows.ingredients[*found].id});
  }
}

}  // namespace

NameIndex index_names(const Rows& rows) {
  NameIndex index;
  std::unordered_map<std::string, std::size_t> ids;
  for (std::size_t i = 0; i < rows.ingredients.size(); ++i) {
    ids.emplace(rows.ingredients[i].id, i);
    const auto& [id, inci] = std::tie(rows.ingredients[i].id, rows.ingredients[i].inci);
    add_name(index, text::normalise(inci) == text::normalise(id) ? inci : id, i);
  }
  for (const auto& name : rows.names) add_name(index, name.name, ids.at(name.ingredient));
  add_shareable(index, rows, &Ingredient::inci);
  add_shareable(index, rows, &Ingredient::cas);
  return index;
}

std::string words_of_id(std::string_view id) {
  std::string words(id);
  std::ranges::replace(words, '-', ' ');
  if (words.empty()) return words;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  const auto last = words.rfind(' ');
  if (last != std::string::npos && std::all_of(words.begin() + static_cast<std::ptrdiff_t>(last) + 1,
                                               words.end(), is_digit))
    words += " %";
  if (words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

bool is_shared_inci(const NameIndex& index, std::string_view inci) {
  return index.shared.contains(text::normalise(inci));
}

Found find_ingredient(const Rows& rows, const NameIndex& index, std::string_view name) {
  if (name.size() > longest_name) return {};
  auto found = find_plain(rows, index, name);
  if (!found) found = find_strength(rows, index, name);
  return found ? found : find_alternatives(rows, index, name);
}

std::vector<std::string> find_near_names(const Rows& rows, const NameIndex& index,
                                         std::string_view name, std::size_t most) {
  if (name.size() > longest_name) return {};
  NearByIngredient near;
  offer_grades(near, rows, index, name);
  const auto wanted = text::normalise(name);
  for (const auto& [key, known] : index.names) {
    const auto distance = distance_between(wanted, key);
    if (distance) offer(near, known.ingredient, {*distance, known.shown});
  }
  std::vector<Near> sorted;
  for (auto& [ingredient, candidate] : near) sorted.push_back(std::move(candidate));
  std::ranges::sort(sorted);
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min(most, sorted.size()); ++i) names.push_back(sorted[i].shown);
  return names;
}

}  // namespace counterion::tables
