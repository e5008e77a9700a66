// SPDX-License-Identifier: MIT
// The reference tables in memory: immutable, shared, safe to read from many threads.
#pragma once

#include <counterion/tables/rows.hpp>

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <typeindex>
#include <utility>
#include <vector>

namespace counterion {

/// All reference tables; copies share one immutable content, which the rows are views of.
class Tables {
 public:
  /// The tables compiled into the library: checked when it was built, nothing is parsed.
  static const Tables& built_in();
  /// A table's CSV text.
  struct NamedText {
    std::string name;  ///< "ranges", "levels", …
    std::string file;  ///< what messages call it
    std::string_view text;
  };
  /// A whole set of tables that stands alone, one text for each; throws BadInput with every fault.
  static Tables from_texts(std::span<const NamedText> texts);
  /// The same from a folder with the files of reference-tables; throws BadInput.
  static Tables from_folder(const std::filesystem::path& path);

  /// These tables with a user's own laid over them. A row replaces all rows beneath of its fact:
  /// of ranges and levels the same subject and kind (of limits also the same market), of
  /// constants the same substance and quantity, of composition and titrations the same ingredient, of the others the same key. A row whose source (in sources:
  /// kind) is `withdrawn` takes them away. Columns that are not needed may be left out; what is then
  /// not said has the source `own`. Throws BadInput with file, line and column of every fault.
  Tables with_texts(std::span<const NamedText> texts) const;
  /// The same from a folder of CSV files named as in reference-tables, as many as there are.
  /// Throws BadInput also where its datapackage.json states a newer major schema_version.
  Tables with_folder(const std::filesystem::path& path) const;

  /// "1.1": shape of the tables; a newer major number is refused.
  std::string_view schema_version() const noexcept;
  /// Version of the content, as datapackage.json has it; "+own" behind it where some are the user's.
  std::string_view version() const noexcept;
  /// SHA-256 over all tables in the order of their names, own ones included, in hexadecimal.
  std::string_view sha256() const noexcept;

  /// What this name may mean: by id, INCI name, CAS number or other name, whatever its case, spacing,
  /// hyphens and diacritics; the usual meaning first, empty when nobody has the name. An id typed
  /// exactly means itself alone.
  std::vector<const tables::Ingredient*> meanings(std::string_view name) const;
  /// The usual meaning of a name; null when there is none.
  const tables::Ingredient* find(std::string_view name) const;
  /// Nearest known names by edit distance, best first.
  std::vector<std::string> nearest_names(std::string_view name, std::size_t most = 3) const;
  /// The other names of an ingredient.
  std::vector<std::string_view> names_of(std::string_view ingredient) const;
  /// The ingredient with exactly this id; null when there is none.
  const tables::Ingredient* ingredient(std::string_view id) const;
  /// The name to show for an id, which means nothing else: its INCI name, or where several
  /// ingredients share that the id as words, "Lactic acid 80 %".
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
  std::span<const tables::Titration> titrations_of(std::string_view ingredient) const;
  std::span<const tables::Caution> cautions() const noexcept;

  /// Classes an ingredient belongs to.
  std::vector<std::string_view> classes_of(std::string_view ingredient) const;
  /// Ingredients of a class.
  std::vector<std::string_view> members_of(std::string_view class_name) const;
  /// Whether `subject` (an ingredient id or a class) covers this ingredient.
  bool covers(std::string_view subject, std::string_view ingredient) const;
  /// What another floor works out from these tables alone, made when it is first asked for and kept with
  /// them; safe to ask for from many threads. A `Derived` is default constructible and must not hold Tables.
  template <class Derived>
  const Derived& derived() const {
    return *static_cast<const Derived*>(
        kept(typeid(Derived), [] { return std::shared_ptr<void>(std::make_shared<Derived>()); }).get());
  }
  /// How many rows each table has, by table name.
  std::vector<std::pair<std::string, std::size_t>> row_counts() const;

 private:
  struct Content;
  const std::shared_ptr<void>& kept(std::type_index type, std::shared_ptr<void> (*make)()) const;
  static std::shared_ptr<Content> read(std::span<const NamedText> texts);
  explicit Tables(std::shared_ptr<const Content> content) : content_(std::move(content)) {}
  std::shared_ptr<const Content> content_;
};

}  // namespace counterion
