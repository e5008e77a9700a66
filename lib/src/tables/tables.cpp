// SPDX-License-Identifier: MIT
#include <counterion/tables/tables.hpp>

#include "content.hpp"
#include "embedded.hpp"

#include <algorithm>

namespace counterion {
namespace {

template <class Row>
std::unordered_map<std::string, std::size_t> positions(const std::vector<Row>& rows,
                                                       std::string Row::*key) {
  std::unordered_map<std::string, std::size_t> found;
  for (std::size_t i = 0; i < rows.size(); ++i) found.emplace(rows[i].*key, i);
  return found;
}

template <class Row>
const Row* row_at(const std::vector<Row>& rows,
                  const std::unordered_map<std::string, std::size_t>& index, std::string_view key) {
  const auto found = index.find(std::string(key));
  return found == index.end() ? nullptr : &rows[found->second];
}

template <class Row>
std::span<const Row> rows_of(const std::vector<Row>& rows, std::string Row::*subject,
                             std::string_view wanted) {
  const auto view = [subject](const Row& row) { return std::string_view(row.*subject); };
  return std::ranges::equal_range(rows, wanted, {}, view);
}

std::string join_pieces(const tables::EmbeddedTable& table) {
  std::string text;
  for (const auto piece : table.pieces) text += piece;
  return text;
}

}  // namespace

const Tables& Tables::built_in() {
  static const Tables tables = [] {
    std::vector<std::string> joined;
    for (const auto& table : tables::embedded_tables()) joined.push_back(join_pieces(table));
    std::vector<NamedText> texts;
    for (std::size_t i = 0; i < joined.size(); ++i) {
      const std::string name(tables::embedded_tables()[i].name);
      texts.push_back({name, "reference-tables/" + name + ".csv", joined[i]});
    }
    return from_texts(texts, std::string(tables::embedded_sha256()));
  }();
  return tables;
}

Tables Tables::from_texts(std::span<const NamedText> texts) {
  return from_texts(texts, "unhashed");
}

Tables Tables::from_texts(std::span<const NamedText> texts, std::string sha256) {
  auto content = std::make_shared<Content>();
  content->rows = tables::read_rows(texts);
  content->index = tables::index_names(content->rows);
  content->ingredients = positions(content->rows.ingredients, &tables::Ingredient::id);
  content->substances = positions(content->rows.substances, &tables::Substance::id);
  content->sources = positions(content->rows.sources, &tables::Source::key);
  content->sha256 = std::move(sha256);
  Tables tables;
  tables.content_ = std::move(content);
  return tables;
}

std::string_view Tables::schema_version() const noexcept {
  return COUNTERION_TABLES_SCHEMA_VERSION;
}
std::string_view Tables::version() const noexcept {
  return COUNTERION_TABLES_VERSION;
}
std::string_view Tables::sha256() const noexcept {
  return content_->sha256;
}

const tables::Ingredient* Tables::find(std::string_view name) const {
  const auto found = tables::find_ingredient(content_->rows, content_->index, name);
  return found ? &content_->rows.ingredients[*found] : nullptr;
}

std::vector<std::string> Tables::nearest_names(std::string_view name, std::size_t most) const {
  return tables::find_near_names(content_->rows, content_->index, name, most);
}

const tables::Ingredient* Tables::ingredient(std::string_view id) const {
  return row_at(content_->rows.ingredients, content_->ingredients, id);
}

std::string Tables::display_name(std::string_view id) const {
  const auto* found = ingredient(id);
  if (found == nullptr) return std::string(id);
  return tables::is_shared_inci(content_->index, found->inci) ? tables::words_of_id(found->id)
                                                              : found->inci;
}

const tables::Source* Tables::source(std::string_view key) const {
  return row_at(content_->rows.sources, content_->sources, key);
}
const tables::Substance* Tables::substance(std::string_view id) const {
  return row_at(content_->rows.substances, content_->substances, id);
}
std::span<const tables::Ingredient> Tables::ingredients() const noexcept {
  return content_->rows.ingredients;
}
std::span<const tables::Mishap> Tables::mishaps() const noexcept {
  return content_->rows.mishaps;
}
std::span<const tables::Constant> Tables::constants() const noexcept {
  return content_->rows.constants;
}
std::span<const tables::Caution> Tables::cautions() const noexcept {
  return content_->rows.cautions;
}

std::span<const tables::Constant> Tables::constants_of(std::string_view substance) const {
  return rows_of(content_->rows.constants, &tables::Constant::substance, substance);
}
const tables::Constant* Tables::constant(std::string_view substance, std::string_view quantity,
                                         std::string_view partner, int step) const {
  const auto rows = constants_of(substance);
  const auto found = std::ranges::find_if(rows, [&](const tables::Constant& row) {
    return row.rank == 1 && row.quantity == quantity && row.partner == partner && row.step == step;
  });
  return found == rows.end() ? nullptr : &*found;
}

const tables::Constant* Tables::interaction(std::string_view first, int first_lost,
                                            std::string_view second, int second_lost) const {
  constexpr std::string_view quantity = "specific-ion-interaction";
  const auto* row =
      constant(first, quantity, tables::name_of_form(second, second_lost), first_lost);
  if (row != nullptr) return row;
  return constant(second, quantity, tables::name_of_form(first, first_lost), second_lost);
}

std::span<const tables::Component> Tables::composition_of(std::string_view ingredient) const {
  return rows_of(content_->rows.composition, &tables::Component::ingredient, ingredient);
}
std::span<const tables::Range> Tables::ranges_of(std::string_view subject) const {
  return rows_of(content_->rows.ranges, &tables::Range::subject, subject);
}
std::span<const tables::Level> Tables::levels_of(std::string_view subject) const {
  return rows_of(content_->rows.levels, &tables::Level::subject, subject);
}
std::span<const tables::Change> Tables::changes_of(std::string_view ingredient) const {
  return rows_of(content_->rows.changes, &tables::Change::reactant, ingredient);
}

std::vector<std::string_view> Tables::classes_of(std::string_view ingredient) const {
  std::vector<std::string_view> classes;
  for (const auto& row : content_->rows.classes) {
    if (row.ingredient == ingredient) classes.push_back(row.class_name);
  }
  return classes;
}

bool Tables::covers(std::string_view subject, std::string_view ingredient) const {
  if (subject == ingredient) return true;
  return std::ranges::any_of(
      rows_of(content_->rows.classes, &tables::ClassMember::class_name, subject),
      [&](const auto& row) { return row.ingredient == ingredient; });
}

std::vector<std::pair<std::string, std::size_t>> Tables::row_counts() const {
  const auto& rows = content_->rows;
  return {{"cautions", rows.cautions.size()},   {"changes", rows.changes.size()},
          {"classes", rows.classes.size()},     {"composition", rows.composition.size()},
          {"constants", rows.constants.size()}, {"ingredients", rows.ingredients.size()},
          {"levels", rows.levels.size()},       {"mishaps", rows.mishaps.size()},
          {"names", rows.names.size()},         {"ranges", rows.ranges.size()},
          {"sources", rows.sources.size()},     {"substances", rows.substances.size()}};
}

}  // namespace counterion
