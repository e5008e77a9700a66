// SPDX-License-Identifier: MIT
// The reference tables in memory: immutable, shared, safe to read from many threads.
#pragma once

#include <counterion/tables/rows.hpp>

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace counterion {

/// All reference tables; copies share one immutable content.
class Tables {
 public:
  /// The tables compiled into the library, parsed at first use; throws BadInput were they damaged.
  static const Tables& built_in();
  /// Tables read from texts, one (name, CSV text) per table; throws BadInput with every fault.
  struct NamedText {
    std::string name;  ///< "ranges", "levels", …
    std::string file;  ///< what messages call it
    std::string_view text;
  };
  static Tables from_texts(std::span<const NamedText> texts);

  /// "1.0": shape of the tables; a newer major number is refused.
  std::string_view schema_version() const noexcept;
  /// Version of the content, as datapackage.json has it.
  std::string_view version() const noexcept;
  /// SHA-256 over all tables in the order of their names, in hexadecimal.
  std::string_view sha256() const noexcept;

  /// The ingredient with this id, INCI name, CAS number or other name, whatever its case, spacing,
  /// hyphens and diacritics; null when there is none.
  const tables::Ingredient* find(std::string_view name) const;
  /// Nearest known names by edit distance, best first.
  std::vector<std::string> nearest_names(std::string_view name, std::size_t most = 3) const;
  /// The ingredient with exactly this id; null when there is none.
  const tables::Ingredient* ingredient(std::string_view id) const;
  /// The name to show for an id: its INCI name, or where several ingredients share that the id as words,
  /// "Lactic acid 80 %"; `find` knows both.
  std::string display_name(std::string_view id) const;

  const tables::Source* source(std::string_view key) const;
  const tables::Substance* substance(std::string_view id) const;
  std::span<const tables::Ingredient> ingredients() const noexcept;
  std::span<const tables::Mishap> mishaps() const noexcept;

  std::span<const tables::Constant> constants() const noexcept;
  /// Rows of one subject, in the order of the file (sorted by key); empty when there are none.
  std::span<const tables::Constant> constants_of(std::string_view substance) const;
  /// The row of rank 1 for this constant; null when there is none.
  const tables::Constant* constant(std::string_view substance, std::string_view quantity,
                                   std::string_view partner = {}, int step = 0) const;
  /// The specific ion interaction (kg/mol) of two forms, each after so many lost protons, whichever
  /// way round the tables have it; null when they have none.
  const tables::Constant* interaction(std::string_view first, int first_lost,
                                      std::string_view second, int second_lost) const;
  std::span<const tables::Component> composition_of(std::string_view ingredient) const;
  std::span<const tables::Range> ranges_of(std::string_view subject) const;
  std::span<const tables::Level> levels_of(std::string_view subject) const;
  std::span<const tables::Change> changes_of(std::string_view ingredient) const;
  std::span<const tables::Caution> cautions() const noexcept;

  /// Classes an ingredient belongs to.
  std::vector<std::string_view> classes_of(std::string_view ingredient) const;
  /// Whether `subject` (an ingredient id or a class) covers this ingredient.
  bool covers(std::string_view subject, std::string_view ingredient) const;
  /// How many rows each table has, by table name.
  std::vector<std::pair<std::string, std::size_t>> row_counts() const;

 private:
  Tables() = default;
  struct Content;
  static Tables from_texts(std::span<const NamedText> texts, std::string sha256);
  std::shared_ptr<const Content> content_;
};

}  // namespace counterion
