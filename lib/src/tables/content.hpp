// SPDX-License-Identifier: MIT
// What a Tables object holds: all rows, and the ways to find them.
#pragma once

#include "text_store.hpp"

#include <counterion/tables/tables.hpp>

#include <algorithm>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace counterion::tables {

/// The rows of all tables, each table sorted by its subject.
struct Rows {
  std::vector<Source> sources;
  std::vector<Ingredient> ingredients;
  std::vector<Name> names;
  std::vector<ClassMember> classes;                ///< by class, then ingredient
  std::vector<ClassMember> classes_by_ingredient;  ///< the same by ingredient, then class
  std::vector<Substance> substances;
  std::vector<Constant> constants;
  std::vector<Component> composition;
  std::vector<Range> ranges;
  std::vector<Level> levels;
  std::vector<Caution> cautions;
  std::vector<Change> changes;
  std::vector<Mishap> mishaps;
};

/// One thing that a name may mean. `key` is the name without what does not tell names apart,
/// `shown` how it is shown to people.
struct Meaning {
  std::string_view key;
  std::string_view shown;
  std::uint32_t ingredient = 0;
  bool operator==(const Meaning&) const = default;
};

/// All names of all ingredients, sorted by key; of several meanings the usual one comes first.
using NameIndex = std::vector<Meaning>;

NameIndex index_names(const Rows& rows, TextStore& store);

/// Positions of the ingredients that a name may mean, the usual one first.
using Positions = std::vector<std::uint32_t>;

/// What a person means by this name; empty when nobody has it.
Positions find_meanings(const Rows& rows, const NameIndex& index, std::string_view name);

/// Names near to one that was not found, best first; each means one ingredient only.
std::vector<std::string> find_near_names(const Rows& rows, const NameIndex& index,
                                         std::string_view name, std::size_t most);

/// A name for people that means this ingredient and no other.
std::string name_to_show(const Rows& rows, const NameIndex& index, std::uint32_t ingredient);

/// How a partner of an interaction is written: "sodium", or after one lost proton "lactic-acid:1".
inline std::string name_of_form(std::string_view substance, int lost) {
  return std::string(substance) + (lost == 0 ? "" : ":" + std::to_string(lost));
}

/// Reads and checks all tables; throws BadInput with every fault.
Rows read_rows(std::span<const Tables::NamedText> texts, TextStore& store);

/// Reads a user's tables, lays them over `beneath` and checks the whole; throws BadInput.
Rows read_rows_over(const Rows& beneath, std::span<const Tables::NamedText> texts,
                    TextStore& store);

/// The span of rows with this subject in a table sorted by it.
template <class Row>
std::span<const Row> rows_of(const std::vector<Row>& rows, std::string_view Row::*subject,
                             std::string_view wanted) {
  return std::ranges::equal_range(rows, wanted, {}, subject);
}

/// The row with this key in a table sorted by it; null when there is none.
template <class Row>
const Row* row_at(const std::vector<Row>& rows, std::string_view Row::*key,
                  std::string_view wanted) {
  const auto found = std::ranges::lower_bound(rows, wanted, {}, key);
  return found != rows.end() && (*found).*key == wanted ? &*found : nullptr;
}

}  // namespace counterion::tables

namespace counterion {

struct Tables::Content {
  std::shared_ptr<const Content> beneath;  ///< whose texts the rows may be views of
  tables::TextStore store;
  tables::Rows rows;
  tables::NameIndex index;
  std::string version;
  std::string sha256;
};

}  // namespace counterion
