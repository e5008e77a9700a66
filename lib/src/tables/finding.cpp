// SPDX-License-Identifier: MIT
#include "content.hpp"
#include "strengths.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/strength.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

namespace counterion::tables {
namespace {

constexpr std::size_t longest_name = 200;  // bytes; nobody's ingredient is longer

// ---- building ----

/// A name before its meanings are put in order: what says so decides, the lowest first.
struct Claim {
  enum By { own_name, usual_name, other_name, id, shared };
  std::string key;
  By by;
  std::string_view shown;
  std::uint32_t ingredient;
  int rank = 1;
};

/// An id as words, "sodium-lactate-60" as "Sodium lactate 60 %"; reads like the id.
std::string words_of_id(std::string_view id) {
  std::string words(id);
  std::ranges::replace(words, '-', ' ');
  const auto last = words.rfind(' ');
  if (last != words.npos && words.find_first_not_of("0123456789", last + 1) == words.npos)
    words += " %";
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z')
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string shown_id(const Ingredient& row) {
  if (text::normalise(row.inci) == text::normalise(row.id)) return std::string(row.inci);
  return words_of_id(row.id);
}

std::vector<Claim> claims_of(const Rows& rows, TextStore& store) {
  std::vector<Claim> claims;
  for (std::uint32_t i = 0; i < rows.ingredients.size(); ++i) {
    const auto& row = rows.ingredients[i];
    claims.push_back({text::normalise(row.id), Claim::id, store.keep(shown_id(row)), i});
    claims.push_back({text::normalise(row.inci), Claim::shared, row.inci, i});
    if (!row.cas.empty()) claims.push_back({text::normalise(row.cas), Claim::shared, row.cas, i});
  }
  for (const auto& name : rows.names) {
    const auto* owner = row_at(rows.ingredients, &Ingredient::id, name.ingredient);
    const auto position = static_cast<std::uint32_t>(owner - rows.ingredients.data());
    const bool own = name.source == "own";
    const auto by = own ? Claim::own_name : name.rank == 1 ? Claim::usual_name : Claim::other_name;
    claims.push_back({text::normalise(name.name), by, name.name, position, name.rank});
  }
  return claims;
}

/// Adds the meanings of one key, each ingredient once. An INCI name or CAS number that several
/// share adds nothing where the table of names lists the meanings, and no dilution where the name
/// can mean the material itself.
void add_meanings(std::span<Claim> claims, Rows& rows, TextStore& store) {
  auto& index = rows.meanings;
  const auto diluted = [&](const Claim& claim) {
    return is_dilution(rows.composition, rows.ingredients[claim.ingredient].id);
  };
  const bool all = std::ranges::all_of(claims, diluted);
  const auto by = [&](Claim::By kind) {
    return std::ranges::find(claims, kind, &Claim::by) != claims.end();
  };
  const bool own = by(Claim::own_name), listed = by(Claim::other_name);
  const auto key = store.keep(claims[0].key);
  const auto begin = index.size();
  for (const auto& claim : claims) {
    const auto same = [&](const Meaning& other) { return other.ingredient == claim.ingredient; };
    if (own && claim.by != Claim::own_name) continue;  // a shop's own word is settled
    if (claim.by == Claim::shared && (listed || (!all && diluted(claim)))) continue;
    if (std::any_of(index.begin() + static_cast<std::ptrdiff_t>(begin), index.end(), same))
      continue;
    index.push_back({key, claim.shown, claim.ingredient});
  }
}

/// The ingredient that the INCI name of a shared CAS number usually means goes first there too.
void put_usual_first(Rows& rows) {
  auto& index = rows.meanings;
  for (auto first = index.begin(); first != index.end();) {
    const auto last = std::find_if(first, index.end(),
                                   [&](const Meaning& other) { return other.key != first->key; });
    if (last - first > 1 && first->shown == rows.ingredients[first->ingredient].cas) {
      const auto key = text::normalise(rows.ingredients[first->ingredient].inci);
      const auto usual = std::ranges::lower_bound(index, std::string_view(key), {}, &Meaning::key);
      const auto among = std::find_if(first, last, [&](const Meaning& other) {
        return usual != index.end() && usual->key == key && other.ingredient == usual->ingredient;
      });
      if (among != last) std::rotate(first, among, among + 1);
    }
    first = last;
  }
}

// ---- finding ----

std::span<const Meaning> meanings_at(const LazyRows& rows, std::string_view key) {
  return std::ranges::equal_range(rows.get<&Rows::meanings>(), key, {}, &Meaning::key);
}

Positions positions_of(std::span<const Meaning> meanings) {
  Positions positions;
  for (const auto& meaning : meanings) positions.push_back(meaning.ingredient);
  return positions;
}

/// An id typed exactly is that ingredient, whatever else its words may mean.
Positions find_id(const LazyRows& rows, std::string_view name) {
  const auto& ingredients = rows.get<&Rows::ingredients>();
  const auto* row = row_at(ingredients, &Ingredient::id, name);
  if (row == nullptr) return {};
  return {static_cast<std::uint32_t>(row - ingredients.data())};
}

Positions find_plain(const LazyRows& rows, std::string_view name) {
  const auto key = text::normalise(name);
  return key.empty() ? Positions() : positions_of(meanings_at(rows, key));
}

/// "Sodium citrate, anhydrous": of what sodium citrate may mean, what holds no water.
Positions find_anhydrous(const LazyRows& rows, std::string_view name) {
  constexpr std::string_view word = "anhydrous";
  auto key = text::normalise(name);
  const auto at = key.find(word);
  if (at == key.npos) return {};
  key.erase(at, word.size());
  auto dry = positions_of(meanings_at(rows, key));
  std::erase_if(dry, [&](std::uint32_t i) {
    const auto id = rows.get<&Rows::ingredients>()[i].id;
    return id.find("hydrate") != id.npos ||
           water_fraction(rows.get<&Rows::composition>(), id) > 0.02;
  });
  return dry;
}

bool says_nothing_of_its_own(std::string_view part) {
  constexpr std::array<std::string_view, 15> grades{
      "assupplied", "vegetable", "pure",   "usp",      "bp",      "ep",     "pheur",   "nf",
      "fcc",        "natural",   "powder", "crystals", "pellets", "flakes", "granules"};
  return std::ranges::find(grades, text::normalise(part)) != grades.end();
}

/// What both may mean, in the order of the first.
Positions common_to(const Positions& first, const Positions& second) {
  Positions common = first;
  std::erase_if(common, [&](auto i) { return std::ranges::find(second, i) == second.end(); });
  return common;
}

/// "Aqua (Water)", "Aqua/Water/Eau", "Glycerin (vegetable)": parts that all name the same thing.
Positions find_alternatives(const LazyRows& rows, std::string_view name) {
  std::optional<Positions> found;
  for (const auto part : text::split_words(name, "()[]/,;")) {
    const auto one = find_plain(rows, part);
    if (one.empty() && found && says_nothing_of_its_own(part)) continue;
    found = found ? common_to(*found, one) : one;
    if (found->empty()) return {};
  }
  return found.value_or(Positions());
}

/// Every ingredient with this INCI name, dilutions too.
Positions ingredients_of_inci(const LazyRows& rows, std::string_view inci) {
  const auto& ingredients = rows.get<&Rows::ingredients>();
  Positions same;
  for (std::uint32_t i = 0; i < ingredients.size(); ++i)
    if (ingredients[i].inci == inci) same.push_back(i);
  return same;
}

/// Of all grades of what the bare name may mean, whatever its language, those of this strength.
Positions find_grade(const LazyRows& rows, const text::Strength& strength) {
  const auto& ingredients = rows.get<&Rows::ingredients>();
  Positions grades;
  for (const auto meant : find_plain(rows, strength.base))
    for (const auto& other : ingredients_of_inci(rows, ingredients[meant].inci)) {
      const auto stated = stated_strength(rows.get<&Rows::composition>(), ingredients[other].id);
      const bool fits = stated && *stated == strength.percent;
      if (fits && std::ranges::find(grades, other) == grades.end()) grades.push_back(other);
    }
  return grades;
}

Positions find_strength(const LazyRows& rows, std::string_view name) {
  const auto strength = text::split_strength(name);
  if (!strength) return {};
  auto exact = find_plain(rows, strength->base + text::format_number(strength->percent));
  if (exact.empty()) exact = find_grade(rows, *strength);
  if (!exact.empty() || strength->percent != 100) return exact;
  auto pure = find_plain(rows, strength->base);
  std::erase_if(pure, [&](auto i) {
    const auto id = rows.get<&Rows::ingredients>()[i].id;
    return is_dilution(rows.get<&Rows::composition>(), id);
  });
  return pure;
}

/// A key has no decimal marks: what it found by reading 5.0 as 50 was not meant.
void drop_misread_strengths(Positions& found, const LazyRows& rows, std::string_view name) {
  const auto decimals = decimals_in(name);
  if (decimals.empty()) return;
  std::erase_if(found, [&](std::uint32_t i) {
    const auto number = number_of_id(rows.get<&Rows::ingredients>()[i].id);
    return number && std::ranges::find(decimals, *number) == decimals.end();
  });
}

// ---- suggesting ----

/// `shown` is empty where the name means others too, so that a better one has to be found.
struct Near {
  std::size_t distance = 0;
  bool is_other_name = false;  ///< INCI names go first
  std::string_view key;
  std::string_view shown;
  auto operator<=>(const Near&) const = default;
};

/// Edits between the names; beyond them, beginnings and parts of names come last.
std::optional<std::size_t> distance_between(std::string_view wanted, std::string_view known) {
  const auto forgiven = text::forgiven_edits(wanted.size());
  const auto edits = text::edit_distance(wanted, known, forgiven);
  if (edits <= forgiven) return edits;
  const bool begins = wanted.size() >= 4 && known.size() >= 4 &&
                      (known.starts_with(wanted) || wanted.starts_with(known));
  if (begins) return forgiven + 1;
  const bool holds = wanted.size() >= 5 && known.find(wanted) != std::string_view::npos;
  return holds ? std::optional(forgiven + 2) : std::nullopt;
}

using NearByIngredient = std::map<std::uint32_t, Near>;

void offer(NearByIngredient& near, std::uint32_t ingredient, Near candidate) {
  const auto [entry, is_new] = near.try_emplace(ingredient, candidate);
  if (!is_new && candidate < entry->second) entry->second = candidate;
}

/// The grades and strengths of a material whose bare name is known.
void offer_grades(NearByIngredient& near, const LazyRows& rows, std::string_view name) {
  const auto& ingredients = rows.get<&Rows::ingredients>();
  const auto strength = text::split_strength(name);
  const auto bare = find_plain(rows, strength ? strength->base : std::string(name));
  for (const auto meant : bare) {
    offer(near, meant, {0, false, ingredients[meant].id, {}});
    for (const auto& other : meanings_at(rows, text::normalise(ingredients[meant].inci)))
      offer(near, other.ingredient, {0, false, ingredients[other.ingredient].id, {}});
  }
}

}  // namespace

void index_names(Rows& rows, TextStore& store) {
  auto claims = claims_of(rows, store);
  std::ranges::stable_sort(
      claims, {}, [](const Claim& claim) { return std::tie(claim.key, claim.by, claim.rank); });
  for (auto first = claims.begin(); first != claims.end();) {
    const auto last = std::find_if(first, claims.end(),
                                   [&](const Claim& other) { return other.key != first->key; });
    add_meanings({first, last}, rows, store);
    first = last;
  }
  put_usual_first(rows);
}

Positions find_meanings(const LazyRows& rows, std::string_view name) {
  if (name.size() > longest_name) return {};
  auto found = find_id(rows, name);
  if (!found.empty()) return found;
  for (const auto find : {find_plain, find_anhydrous, find_strength, find_alternatives}) {
    found = find(rows, name);
    drop_misread_strengths(found, rows, name);
    if (!found.empty()) break;
  }
  return found;
}

std::string name_to_show(const LazyRows& rows, std::uint32_t ingredient) {
  const auto& ingredients = rows.get<&Rows::ingredients>();
  const auto& row = ingredients[ingredient];
  const std::string inci(row.inci);
  const auto means_it = [&](const std::string& name) {
    return find_meanings(rows, name) == Positions{ingredient};
  };
  if (means_it(inci)) return inci;
  const bool among_hydrates = std::ranges::any_of(find_plain(rows, inci), [&](std::uint32_t other) {
    return ingredients[other].id.find("hydrate") != std::string_view::npos;
  });
  const auto words = words_of_id(row.id);
  const auto& base = text::normalise(words) == text::normalise(inci) ? inci : words;
  for (const auto& name : {words, base + (among_hydrates ? " (anhydrous)" : " (100 %)")})
    if (means_it(name)) return name;
  return std::string(row.id);
}

std::vector<std::string> find_near_names(const LazyRows& rows, std::string_view name,
                                         std::size_t most) {
  if (name.size() > longest_name) return {};
  NearByIngredient near;
  offer_grades(near, rows, name);
  const auto wanted = text::normalise(name);
  const auto& index = rows.get<&Rows::meanings>();
  for (std::size_t i = 0; i < index.size(); ++i) {
    const auto distance = distance_between(wanted, index[i].key);
    if (!distance) continue;
    const bool alone = (i == 0 || index[i - 1].key != index[i].key) &&
                       (i + 1 == index.size() || index[i + 1].key != index[i].key);
    const bool other = index[i].shown != rows.get<&Rows::ingredients>()[index[i].ingredient].inci;
    offer(near, index[i].ingredient,
          {*distance, other, index[i].key, alone ? index[i].shown : std::string_view()});
  }
  std::vector<std::pair<Near, std::uint32_t>> sorted;
  for (const auto& [ingredient, candidate] : near) sorted.emplace_back(candidate, ingredient);
  std::ranges::sort(sorted);
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min(most, sorted.size()); ++i) {
    const auto& [candidate, ingredient] = sorted[i];
    names.push_back(candidate.shown.empty() ? name_to_show(rows, ingredient)
                                            : std::string(candidate.shown));
  }
  return names;
}

}  // namespace counterion::tables
