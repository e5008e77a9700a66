// SPDX-License-Identifier: MIT
// What a row of the table changes must look like, so that a forecast can compute with it.
#include "table_texts.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <optional>
#include <set>
#include <vector>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;

constexpr std::array<std::string_view, 5> effects{"acid-appears", "base-appears", "acid-disappears",
                                                  "base-disappears", "none"};

/// A quantity that a forecast reads: its unit, and the span in which every sound value lies.
struct Rule {
  std::string_view quantity;
  std::string_view unit;
  double above;
  double at_most;
};

// Sorted; every other quantity is told to a reader and computes nothing.
constexpr std::array rules{
    Rule{"half-life", "h", 0, 1e9},
    Rule{"lactone-to-acid-ratio", "mol_per_mol", 0, 100},
    Rule{"rate-constant", "1/s", 0, 1e6},
    Rule{"unreacted-when-fresh", "percent", 0, 100},
};

/// The substances by id, and those that each ingredient brings.
struct Known {
  std::set<std::string_view> substances;
  std::map<std::string_view, std::set<std::string_view>> brought;
};

Known collect(const TableTexts& all) {
  Known known;
  for (const auto& row : all.substances.rows) known.substances.insert(row.id);
  for (const auto& row : all.composition.rows) {
    auto& brought = known.brought[row.ingredient];
    const bool bulk =
        row.component == "water" || row.component == "oil" || row.component == "inert";
    if (!bulk) brought.insert(row.component);
  }
  return known;
}

/// "2 ammonia" without its whole number; empty where the number is none.
std::string_view without_number(std::string_view term) {
  const auto blank = term.find(' ');
  if (blank == term.npos) return term;
  const auto number = term.substr(0, blank);
  const bool whole = !number.empty() && number.size() <= 2 && number.front() != '0' &&
                     number.find_first_not_of("0123456789") == number.npos;
  return whole ? term.substr(blank + 1) : std::string_view();
}

/// The terms of "2 ammonia + carbonic-acid".
std::vector<std::string_view> terms_of(std::string_view product) {
  constexpr std::string_view plus = " + ";
  std::vector<std::string_view> terms;
  for (auto at = product.find(plus); at != product.npos; at = product.find(plus)) {
    terms.push_back(product.substr(0, at));
    product.remove_prefix(at + plus.size());
  }
  terms.push_back(product);
  return terms;
}

/// Says which terms of a product are neither a substance nor inert.
void check_product(const TableText<Change>& table, std::size_t i, const Known& known,
                   Problems& problems) {
  for (const auto term : terms_of(table.rows[i].product)) {
    const auto id = without_number(term);
    if (id == "inert" || known.substances.contains(id)) continue;
    add_problem(
        problems, table.place(i, "product"), fmt::format("'{}'", term),
        "a sum such as '2 ammonia + carbonic-acid' of ids of the table substances or inert");
  }
}

/// What reacts must be one substance, or nobody knows which.
void check_reactant(const TableText<Change>& table, std::size_t i, const Known& known,
                    Problems& problems) {
  const auto brought = known.brought.find(table.rows[i].reactant);
  if (brought == known.brought.end() || brought->second.size() == 1) return;
  add_problem(problems, table.place(i, "reactant"),
              fmt::format("{} substances in {}", brought->second.size(), table.rows[i].reactant),
              "one, beside water, oil and inert, in the table composition");
}

/// The figure and the unit of a quantity that a forecast reads.
void check_figure(const TableText<Change>& table, std::size_t i, const Rule& rule,
                  Problems& problems) {
  const auto& row = table.rows[i];
  if (row.unit != rule.unit)
    add_problem(problems, table.place(i, "unit"),
                fmt::format("'{}' for {}", row.unit, row.quantity), std::string(rule.unit));
  if (row.value && *row.value > rule.above && *row.value <= rule.at_most) return;
  add_problem(problems, table.place(i, "value"),
              row.value ? fmt::format("{} {}", row.quantity, text::format_number(*row.value))
                        : fmt::format("{} without a value", row.quantity),
              fmt::format("more than {}, at most {}", text::format_number(rule.above),
                          text::format_number(rule.at_most)));
}

void check_effect(const TableText<Change>& table, std::size_t i, bool computes,
                  Problems& problems) {
  const auto effect = table.rows[i].acid_base_effect;
  if (effect.empty() ? !computes : std::ranges::find(effects, effect) != effects.end()) return;
  add_problem(problems, table.place(i, "acid_base_effect"), fmt::format("'{}'", effect),
              fmt::format("{}", fmt::join(effects, " | ")));
}

void check_row(const TableText<Change>& table, std::size_t i, const Known& known,
               Problems& problems) {
  const auto& row = table.rows[i];
  const auto rule = std::ranges::find(rules, row.quantity, &Rule::quantity);
  check_effect(table, i, rule != rules.end(), problems);
  if (rule == rules.end()) return;
  check_figure(table, i, *rule, problems);
  if (row.acid_base_effect == "none") return;
  check_product(table, i, known, problems);
  check_reactant(table, i, known, problems);
}

}  // namespace

void check_changes(const TableTexts& all, Problems& problems) {
  const auto known = collect(all);
  for (std::size_t i = 0; i < all.changes.rows.size(); ++i)
    check_row(all.changes, i, known, problems);
}

}  // namespace counterion::tables
