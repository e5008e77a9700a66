// SPDX-License-Identifier: MIT
#include <counterion/tables/tables.hpp>

#include "content.hpp"
#include "folder.hpp"

#include <algorithm>
#include <array>

namespace counterion {

using tables::row_at;
using tables::rows_of;

std::shared_ptr<Tables::Content> Tables::read(std::span<const NamedText> texts) {
  tables::TextStore store;
  auto rows = tables::read_rows(texts, store);
  return std::make_shared<Content>(nullptr, std::move(store), std::move(rows), "own",
                                   tables::sha256_of(texts));
}

Tables Tables::from_texts(std::span<const NamedText> texts) {
  return Tables(read(texts));
}

Tables Tables::from_folder(const std::filesystem::path& path) {
  const auto folder = tables::read_folder(path, built_in().schema_version());
  auto content = read(folder.texts());
  if (!folder.version.empty()) content->version = folder.version;
  return Tables(std::move(content));
}

Tables Tables::with_texts(std::span<const NamedText> texts) const {
  tables::TextStore store;
  auto rows = tables::read_rows_over(content_->rows.all(), texts, store);
  const auto own = tables::sha256_of(texts);
  const std::array both{NamedText{"beneath", {}, content_->sha256}, NamedText{"own", {}, own}};
  return Tables(std::make_shared<Content>(content_, std::move(store), std::move(rows),
                                          content_->version + "+own", tables::sha256_of(both)));
}

Tables Tables::with_folder(const std::filesystem::path& path) const {
  const auto folder = tables::read_folder(path, schema_version());
  return with_texts(folder.texts());
}

const std::shared_ptr<void>& Tables::kept(std::type_index type, std::shared_ptr<void> (*make)()) const {
  const std::lock_guard lock(content_->keeping);
  auto& place = content_->kept[type];
  if (!place) place = make();
  return place;
}

std::string_view Tables::version() const noexcept {
  return content_->version;
}
std::string_view Tables::sha256() const noexcept {
  return content_->sha256;
}

std::vector<const tables::Ingredient*> Tables::meanings(std::string_view name) const {
  std::vector<const tables::Ingredient*> meant;
  for (const auto position : tables::find_meanings(content_->rows, name))
    meant.push_back(&content_->rows.get<&tables::Rows::ingredients>()[position]);
  return meant;
}
const tables::Ingredient* Tables::find(std::string_view name) const {
  const auto meant = tables::find_meanings(content_->rows, name);
  return meant.empty() ? nullptr : &content_->rows.get<&tables::Rows::ingredients>()[meant.front()];
}
std::vector<std::string> Tables::nearest_names(std::string_view name, std::size_t most) const {
  return tables::find_near_names(content_->rows, name, most);
}
std::vector<std::string_view> Tables::names_of(std::string_view ingredient) const {
  std::vector<std::string_view> names;
  for (const auto& row : content_->rows.get<&tables::Rows::names>())
    if (row.ingredient == ingredient) names.push_back(row.name);
  return names;
}
const tables::Ingredient* Tables::ingredient(std::string_view id) const {
  const auto found = content_->ingredients.rows_of(content_->rows.get<&tables::Rows::ingredients>(), &tables::Ingredient::id, id);
  return found.empty() ? nullptr : &found.front();
}
std::string Tables::display_name(std::string_view id) const {
  const auto* found = ingredient(id);
  if (found == nullptr) return std::string(id);
  const auto position =
      static_cast<std::uint32_t>(found - content_->rows.get<&tables::Rows::ingredients>().data());
  return tables::name_to_show(content_->rows, position);
}

const tables::Source* Tables::source(std::string_view key) const {
  return row_at(content_->rows.get<&tables::Rows::sources>(), &tables::Source::key, key);
}
const tables::Substance* Tables::substance(std::string_view id) const {
  return row_at(content_->rows.get<&tables::Rows::substances>(), &tables::Substance::id, id);
}
std::span<const tables::Ingredient> Tables::ingredients() const noexcept {
  return content_->rows.get<&tables::Rows::ingredients>();
}
std::span<const tables::Mishap> Tables::mishaps() const noexcept {
  return content_->rows.get<&tables::Rows::mishaps>();
}
std::span<const tables::Constant> Tables::constants() const noexcept {
  return content_->rows.get<&tables::Rows::constants>();
}
std::span<const tables::Caution> Tables::cautions() const noexcept {
  return content_->rows.get<&tables::Rows::cautions>();
}

std::span<const tables::Constant> Tables::constants_of(std::string_view substance) const {
  return content_->constants.rows_of(content_->rows.get<&tables::Rows::constants>(), &tables::Constant::substance,
                 substance);
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
  return content_->composition.rows_of(content_->rows.get<&tables::Rows::composition>(), &tables::Component::ingredient,
                 ingredient);
}
std::span<const tables::Range> Tables::ranges_of(std::string_view subject) const {
  return content_->ranges.rows_of(content_->rows.get<&tables::Rows::ranges>(), &tables::Range::subject, subject);
}
std::span<const tables::Level> Tables::levels_of(std::string_view subject) const {
  return content_->levels.rows_of(content_->rows.get<&tables::Rows::levels>(), &tables::Level::subject, subject);
}
std::span<const tables::Change> Tables::changes_of(std::string_view ingredient) const {
  return rows_of(content_->rows.get<&tables::Rows::changes>(), &tables::Change::reactant,
                 ingredient);
}
std::span<const tables::Titration> Tables::titrations_of(std::string_view ingredient) const {
  return rows_of(content_->rows.get<&tables::Rows::titrations>(), &tables::Titration::ingredient,
                 ingredient);
}

std::vector<std::string_view> Tables::classes_of(std::string_view ingredient) const {
  std::vector<std::string_view> classes;
  for (const auto& row : rows_of(content_->rows.get<&tables::Rows::classes_by_ingredient>(),
                                 &tables::ClassMember::ingredient, ingredient))
    classes.push_back(row.class_name);
  return classes;
}

std::vector<std::string_view> Tables::members_of(std::string_view class_name) const {
  std::vector<std::string_view> members;
  for (const auto& row : rows_of(content_->rows.get<&tables::Rows::classes>(),
                                 &tables::ClassMember::class_name, class_name))
    members.push_back(row.ingredient);
  return members;
}

bool Tables::covers(std::string_view subject, std::string_view ingredient) const {
  if (subject == ingredient) return true;
  const auto key = [](const tables::ClassMember& row) {
    return std::pair(row.class_name, row.ingredient);
  };
  return std::ranges::binary_search(content_->rows.get<&tables::Rows::classes>(),
                                    std::pair(subject, ingredient), {}, key);
}

std::vector<std::pair<std::string, std::size_t>> Tables::row_counts() const {
  const auto& rows = content_->rows.all();
  return {{"cautions", rows.cautions.size()},    {"changes", rows.changes.size()},
          {"classes", rows.classes.size()},      {"composition", rows.composition.size()},
          {"constants", rows.constants.size()},  {"ingredients", rows.ingredients.size()},
          {"levels", rows.levels.size()},        {"mishaps", rows.mishaps.size()},
          {"names", rows.names.size()},          {"ranges", rows.ranges.size()},
          {"sources", rows.sources.size()},      {"substances", rows.substances.size()},
          {"titrations", rows.titrations.size()}};
}

}  // namespace counterion
