// SPDX-License-Identifier: MIT
#include "row_ids.hpp"

#include "table_texts.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <map>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;

template <class Row, class MakeKey>
void name_table(TableText<Row>& table, std::string_view key_column, MakeKey make_key,
                TextStore& store, Problems& problems) {
  std::map<std::string, std::size_t> lines;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto id = make_key(table.rows[i]);
    const auto [first, is_new] = lines.emplace(id, table.lines[i]);
    if (!is_new) {
      add_problem(problems, table.place(i, key_column),
                  "the key " + id + " again, first in line " + std::to_string(first->second),
                  "every key once");
    }
    if constexpr (requires { table.rows[i].provenance; })
      table.rows[i].provenance.row_id = store.keep(id);
  }
}

/// Names rows of the tables that end with provenance; `parts_of` gives the key between table and
/// source.
template <class Row, class Parts>
void name_facts(TableText<Row>& table, std::string_view column, Parts parts_of, TextStore& store,
                Problems& problems) {
  const auto key = [&](const Row& row) {
    return join_key({table.name, parts_of(row), row.provenance.source});
  };
  name_table(table, column, key, store, problems);
}

void name_figures(TableTexts& all, TextStore& store, Problems& problems) {
  const auto facts = [&](auto& table, std::string_view column, auto parts_of) {
    name_facts(table, column, parts_of, store, problems);
  };
  facts(all.constants, "substance", [](const Constant& row) {
    const auto step = row.step == 0 ? std::string() : std::to_string(row.step);
    return join_key({row.substance, row.quantity, step, row.partner});
  });
  facts(all.composition, "component", [](const Component& row) {
    return join_key({row.ingredient, row.component});
  });
  facts(all.ranges, "subject", [](const Range& row) {
    return join_key({row.subject, row.kind, slug(row.condition)});
  });
  facts(all.levels, "subject", [](const Level& row) {
    return join_key({row.subject, row.kind, row.market, row.product, slug(row.condition)});
  });
  facts(all.titrations, "ingredient", [](const Titration& row) {
    return join_key({row.ingredient, text::format_number(row.at_percent),
                     text::format_number(row.added_meq_per_g)});
  });
}

}  // namespace

std::string join_key(std::initializer_list<std::string_view> parts) {
  std::string key;
  for (const auto part : parts) {
    if (part.empty()) continue;
    if (!key.empty()) key += '/';
    key += part;
  }
  return key;
}

std::string slug(std::string_view text) {
  std::string words;
  for (const char c : text) {
    if (words.ends_with('-') && std::count(words.begin(), words.end(), '-') == 4) break;
    const bool upper = c >= 'A' && c <= 'Z';
    const bool kept = upper || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    if (kept) words += upper ? static_cast<char>(c - 'A' + 'a') : c;
    if (!kept && !words.empty() && words.back() != '-') words += '-';
  }
  if (words.ends_with('-')) words.pop_back();
  return words;
}

void name_rows(TableTexts& all, TextStore& store, Problems& problems) {
  const auto by_id = [](const auto& row) { return std::string(row.id); };
  name_table(
      all.sources, "key", [](const Source& row) { return std::string(row.key); }, store, problems);
  name_table(
      all.classes, "ingredient",
      [](const ClassMember& row) {
        return join_key({"classes", row.class_name, row.ingredient});
      },
      store, problems);
  name_facts(all.ingredients, "id", by_id, store, problems);
  name_facts(all.substances, "id", by_id, store, problems);
  name_facts(all.cautions, "id", by_id, store, problems);
  name_facts(all.changes, "id", by_id, store, problems);
  name_facts(all.mishaps, "id", by_id, store, problems);
  name_figures(all, store, problems);
}

}  // namespace counterion::tables
