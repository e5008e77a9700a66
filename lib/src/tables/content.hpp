// SPDX-License-Identifier: MIT
// What a Tables object holds: all rows, and the ways to find them.
#pragma once

#include "text_store.hpp"

#include <counterion/tables/tables.hpp>

#include <algorithm>
#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <tuple>
#include <type_traits>
#include <utility>
#include <map>
#include <typeindex>
#include <unordered_map>
#include <vector>

namespace counterion::tables {

/// One thing that a name may mean. `key` is the name without what does not tell names apart,
/// `shown` how it is shown to people.
struct Meaning {
  std::string_view key;
  std::string_view shown;
  std::uint32_t ingredient = 0;
  bool operator==(const Meaning&) const = default;
};

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
  std::vector<Titration> titrations;
  /// All names of all ingredients, sorted by key; of several meanings the usual one comes first.
  std::vector<Meaning> meanings;
};

/// The members of Rows in the order in which they are packed.
inline constexpr std::tuple table_members{
    &Rows::cautions,    &Rows::changes,    &Rows::classes,     &Rows::classes_by_ingredient,
    &Rows::composition, &Rows::constants,  &Rows::ingredients, &Rows::levels,
    &Rows::meanings,    &Rows::mishaps,    &Rows::names,       &Rows::ranges,
    &Rows::sources,     &Rows::substances, &Rows::titrations};
inline constexpr std::size_t table_count = std::tuple_size_v<decltype(table_members)>;

/// Place of a member in that order.
template <auto member>
consteval std::size_t position_of_table() {
  std::size_t at = 0, found = table_count;
  const auto compare = [&](auto other) {
    if constexpr (std::is_same_v<decltype(other), std::remove_const_t<decltype(member)>>)
      if (other == member) found = at;
    ++at;
  };
  std::apply([&](auto... others) { (compare(others), ...); }, table_members);
  return found;
}

/// All rows, those of the built-in tables unpacked table by table when they are first asked for,
/// whichever thread asks: who looks up a name need not wait for the rest.
class LazyRows {
 public:
  using Unpack = std::function<void(Rows&, std::size_t table)>;

  explicit LazyRows(Rows rows) : rows_(std::move(rows)) {}
  explicit LazyRows(Unpack unpack) : unpack_(std::move(unpack)) {}

  /// A table's rows, such as get<&Rows::ranges>().
  template <auto member>
  const auto& get() const {
    unpack(position_of_table<member>());
    return rows_.*member;
  }
  /// Every table's.
  const Rows& all() const {
    for (std::size_t table = 0; table < table_count; ++table) unpack(table);
    return rows_;
  }

 private:
  void unpack(std::size_t table) const {
    if (unpack_) std::call_once(unpacked_[table], [&] { unpack_(rows_, table); });
  }

  Unpack unpack_;
  mutable Rows rows_;
  mutable std::array<std::once_flag, table_count> unpacked_;
};

/// Fills rows.meanings.
void index_names(Rows& rows, TextStore& store);

/// Positions of the ingredients that a name may mean, the usual one first.
using Positions = std::vector<std::uint32_t>;

/// What a person means by this name; empty when nobody has it.
Positions find_meanings(const LazyRows& rows, std::string_view name);

/// Names near to one that was not found, best first; each means one ingredient only.
std::vector<std::string> find_near_names(const LazyRows& rows, std::string_view name,
                                         std::size_t most);

/// A name for people that means this ingredient and no other.
std::string name_to_show(const LazyRows& rows, std::uint32_t ingredient);

/// How a partner of an interaction is written: "sodium", or after one lost proton "lactic-acid:1".
inline std::string name_of_form(std::string_view substance, int lost) {
  return std::string(substance) + (lost == 0 ? "" : ":" + std::to_string(lost));
}

/// Reads and checks all tables and indexes their names; throws BadInput with every fault.
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

/// Where each subject's rows stand in a sorted table, worked out when it is first asked for.
template <class Row>
class SubjectIndex {
 public:
  std::span<const Row> rows_of(const std::vector<Row>& rows, std::string_view Row::*subject,
                               std::string_view wanted) const {
    std::call_once(made_, [&] { make(rows, subject); });
    const auto found = spans_.find(wanted);
    return found == spans_.end() ? std::span<const Row>() : found->second;
  }

 private:
  void make(const std::vector<Row>& rows, std::string_view Row::*subject) const {
    for (std::size_t first = 0, last = 0; first < rows.size(); first = last) {
      while (last < rows.size() && rows[last].*subject == rows[first].*subject) ++last;
      spans_.emplace(rows[first].*subject, std::span(rows).subspan(first, last - first));
    }
  }
  mutable std::once_flag made_;
  mutable std::unordered_map<std::string_view, std::span<const Row>> spans_;
};

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
  /// Rows that were read, or how to unpack them.
  template <class AnyRows>
  Content(std::shared_ptr<const Content> under, tables::TextStore texts, AnyRows any_rows,
          std::string its_version, std::string its_sha256)
      : beneath(std::move(under)),
        store(std::move(texts)),
        rows(std::move(any_rows)),
        version(std::move(its_version)),
        sha256(std::move(its_sha256)) {}

  std::shared_ptr<const Content> beneath;  ///< whose texts the rows may be views of
  tables::TextStore store;
  tables::LazyRows rows;
  std::string version;
  std::string sha256;
  tables::SubjectIndex<tables::Component> composition;
  tables::SubjectIndex<tables::Constant> constants;
  tables::SubjectIndex<tables::Ingredient> ingredients;
  tables::SubjectIndex<tables::Level> levels;
  tables::SubjectIndex<tables::Range> ranges;
  mutable std::mutex keeping;  ///< guards `kept`
  mutable std::map<std::type_index, std::shared_ptr<void>> kept;
};

}  // namespace counterion
