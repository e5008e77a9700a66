// SPDX-License-Identifier: MIT
// What a Tables object holds: all rows, and the ways to find them.
#pragma once

#include <counterion/tables/tables.hpp>

#include <map>
#include <string>
#include <unordered_map>
#include <vector>

namespace counterion::tables {

/// The rows of all tables; those looked up by subject are sorted by it.
struct Rows {
  std::vector<Source> sources;
  std::vector<Ingredient> ingredients;
  std::vector<Name> names;
  std::vector<ClassMember> classes;
  std::vector<Substance> substances;
  std::vector<Constant> constants;
  std::vector<Component> composition;
  std::vector<Range> ranges;
  std::vector<Level> levels;
  std::vector<Caution> cautions;
  std::vector<Change> changes;
  std::vector<Mishap> mishaps;
};

/// A name under which an ingredient is found: as shown to people, and whose it is.
struct KnownName {
  std::string shown;
  std::size_t ingredient = 0;
};

/// Names by their normalised form; INCI names and CAS numbers that several ingredients share apart.
struct NameIndex {
  std::unordered_map<std::string, KnownName> names;
  std::unordered_map<std::string, std::vector<std::size_t>> shared;
};

NameIndex index_names(const Rows& rows);

/// Whether several ingredients have this INCI name.
bool is_shared_inci(const NameIndex& index, std::string_view inci);
/// An id as words, "sodium-lactate-60" as "Sodium lactate 60 %"; found again as a name.
std::string words_of_id(std::string_view id);

/// Position of the ingredient that a person means by this name, if any.
std::optional<std::size_t> find_ingredient(const Rows& rows, const NameIndex& index,
                                           std::string_view name);

/// Names near to one that was not found, best first.
std::vector<std::string> find_near_names(const Rows& rows, const NameIndex& index,
                                         std::string_view name, std::size_t most);

/// How a partner of an interaction is written: "sodium", or after one lost proton "lactic-acid:1".
inline std::string name_of_form(std::string_view substance, int lost) {
  return std::string(substance) + (lost == 0 ? "" : ":" + std::to_string(lost));
}

/// Reads and checks all tables; throws BadInput with every fault.
Rows read_rows(std::span<const Tables::NamedText> texts);

}  // namespace counterion::tables

namespace counterion {

struct Tables::Content {
  tables::Rows rows;
  tables::NameIndex index;
  std::unordered_map<std::string, std::size_t> ingredients;
  std::unordered_map<std::string, std::size_t> substances;
  std::unordered_map<std::string, std::size_t> sources;
  std::string sha256;
};

}  // namespace counterion
