// SPDX-License-Identifier: MIT
// Which numbers and words a row of its kind can have: most slips of a unit end here.
#include "table_texts.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;

/// A kind of level: its unit, and the span in which every sound value lies.
struct LevelRule {
  std::string_view kind;
  std::string_view unit;
  double low;
  double high;
};

// Sorted; one kind a line. Sodium hydroxide, the strongest alkali there is by weight, has 25 meq/g.
// clang-format off
constexpr std::array level_rules{
    LevelRule{"acid-value", "mg_KOH_per_g", 0, 1500},
    LevelRule{"activation-energy", "kJ_per_mol", 10, 400},
    LevelRule{"adjuster-stock", "percent", 0.01, 100},
    LevelRule{"advised-maximum", "percent", 0, 100},
    LevelRule{"carbon-dioxide-uptake", "mol_per_kg_water", 0, 1},
    LevelRule{"electrolyte-tolerance", "mol_per_kg_water", 0, 20},
    LevelRule{"legal-maximum", "percent", 0, 100},
    LevelRule{"low-ionic-strength", "pH", 0, 2},
    LevelRule{"low-ionic-strength-below", "mol_per_kg_water", 0, 1},
    LevelRule{"lower-risk-alcohol-from", "percent", 0, 100},
    LevelRule{"lower-risk-pH-above", "pH", 0, 14},
    LevelRule{"lower-risk-pH-below", "pH", 0, 14},
    LevelRule{"lower-risk-water-activity-below", "ratio", 0, 1},
    LevelRule{"meter", "pH", 0, 2},
    LevelRule{"minimum-inhibitory", "percent", 0, 100},
    LevelRule{"minimum-undissociated", "percent", 0, 100},
    LevelRule{"not-calibrated", "pH", 0, 7},
    LevelRule{"offset-maximum", "mV", 0, 500},
    LevelRule{"oil-on-electrode", "pH", 0, 7},
    LevelRule{"one-point-calibration", "pH", 0, 7},
    LevelRule{"opened-buffer", "pH", 0, 7},
    LevelRule{"opened-buffer-age", "days", 0, 3650},
    LevelRule{"reading-repeatability", "pH", 0, 2},
    LevelRule{"residual-charge", "meq_per_g", -30, 30},
    LevelRule{"slope-maximum", "percent", 0, 200},
    LevelRule{"slope-minimum", "percent", 0, 200},
    LevelRule{"solvent-on-electrode", "pH", 0, 7},
    LevelRule{"stock-strength-tolerance", "percent", 0, 50},
    LevelRule{"strip", "pH", 0, 7},
    LevelRule{"strip-step", "pH", 0, 7},
    LevelRule{"two-point-calibration", "pH", 0, 7},
    LevelRule{"unlisted-buffer", "mmol_per_kg_water", 0, 1000},
    LevelRule{"unlisted-buffer-share", "ratio", 0, 10},
    LevelRule{"unlisted-buffer-titrated", "mmol_per_kg_water", 0, 1000},
    LevelRule{"unlisted-charge", "meq_per_g", 0, 30},
    LevelRule{"unstated-temperature", "degrees_celsius", 0, 80},
    LevelRule{"use-as-preservative-minimum", "percent", 0, 100},
};
// clang-format on

constexpr std::array<std::string_view, 5> markets{"Canada", "China", "EU", "Japan", "US"};

/// Uses that the law names beside the kinds of product of a formula.
constexpr std::array<std::string_view, 9> special_products{
    "any",          "callus-remover", "hair-straightener", "leave-on", "mouthwash",
    "nail-cuticle", "nail-hardener",  "professional",      "rinse-off"};

template <class Words>
bool contains(const Words& words, std::string_view word) {
  return std::ranges::find(words, word) != words.end();
}

/// A kind of product, with or without its use behind.
bool is_product(std::string_view text) {
  for (const std::string_view use : {"-leave-on", "-rinse-off"})
    if (text.ends_with(use))
      return contains(product_kinds, text.substr(0, text.size() - use.size()));
  return contains(product_kinds, text);
}

template <class Row>
void check_product(const TableText<Row>& table, std::size_t i, std::string_view product,
                   Problems& problems) {
  if (product.empty() || contains(special_products, product) || is_product(product)) return;
  add_problem(problems, table.place(i, "product"), fmt::format("'{}' as product", product),
              fmt::format("{}, or one of {} with or without -leave-on or -rinse-off",
                          fmt::join(special_products, ", "), fmt::join(product_kinds, ", ")));
}

/// Says where a number is not within its limits.
void check_within(const Place& place, std::string_view column, std::optional<double> value,
                  double low, double high, Problems& problems) {
  if (!value || (*value >= low && *value <= high)) return;
  add_problem(problems, place, fmt::format("{} {}", column, text::format_number(*value)),
              fmt::format("{} to {}", text::format_number(low), text::format_number(high)));
}

void check_level(const TableText<Level>& table, std::size_t i, Problems& problems) {
  const auto& row = table.rows[i];
  const auto rule = std::ranges::find(level_rules, row.kind, &LevelRule::kind);
  if (rule == level_rules.end()) {
    std::vector<std::string_view> kinds;
    for (const auto& each : level_rules) kinds.push_back(each.kind);
    if (!row.kind.empty())
      add_problem(problems, table.place(i, "kind"), fmt::format("'{}'", row.kind),
                  fmt::format("{}", fmt::join(kinds, " | ")));
    return;
  }
  if (row.unit != rule->unit)
    add_problem(problems, table.place(i, "unit"), fmt::format("'{}' for {}", row.unit, row.kind),
                std::string(rule->unit));
  check_within(table.place(i, "value"), "value", row.value, rule->low, rule->high, problems);
  check_within(table.place(i, "upper_value"), "upper_value", row.upper_value, rule->low, rule->high,
               problems);
  if (!row.market.empty() && !contains(markets, row.market))
    add_problem(problems, table.place(i, "market"), fmt::format("'{}' as market", row.market),
                fmt::format("{}", fmt::join(markets, ", ")));
  check_product(table, i, row.product, problems);
}

void check_range(const TableText<Range>& table, std::size_t i, Problems& problems) {
  const auto& row = table.rows[i];
  for (const auto& [column, value] :
       {std::pair{"minimum", row.minimum}, std::pair{"ideal_low", row.ideal_low},
        std::pair{"ideal_high", row.ideal_high}, std::pair{"maximum", row.maximum}})
    check_within(table.place(i, column), column, value, 0, 14, problems);
  check_within(table.place(i, "at_percent"), "at_percent", row.at_percent, 0.0001, 100, problems);
  constexpr std::string_view prefix = "product:";
  if (!row.subject.starts_with(prefix)) return;
  const auto product = row.subject.substr(prefix.size());
  if (product != "any" && !is_product(product))
    add_problem(problems, table.place(i, "subject"), fmt::format("'{}'", row.subject),
                fmt::format("product:any, or product: with one of {} and -leave-on or -rinse-off",
                            fmt::join(product_kinds, ", ")));
}

void check_titration(const TableText<Titration>& table, std::size_t i, Problems& problems) {
  const auto& row = table.rows[i];
  check_within(table.place(i, "at_percent"), "at_percent", row.at_percent, 0.01, 90, problems);
  check_within(table.place(i, "added_meq_per_g"), "added_meq_per_g", row.added_meq_per_g, -30, 30,
               problems);
  check_within(table.place(i, "pH"), "pH", row.ph, 0, 14, problems);
}

/// "sodium-lactate-60": lower-case ASCII words joined by hyphens.
bool is_id(std::string_view text) {
  const auto allowed = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  };
  return !text.empty() && std::ranges::all_of(text, allowed) && text.front() != '-' &&
         text.back() != '-' && text.find("--") == text.npos;
}

template <class Row>
void check_id(const TableText<Row>& table, std::size_t i, std::string_view column,
              std::string_view id, Problems& problems) {
  if (!id.empty() && !is_id(id))
    add_problem(problems, table.place(i, column), fmt::format("'{}'", id),
                "lower-case letters and digits in words joined by hyphens");
}

template <class Row, class Check>
void each_row(const TableText<Row>& table, Check check) {
  for (std::size_t i = 0; i < table.rows.size(); ++i) check(table, i);
}

}  // namespace

void check_values(const TableTexts& all, Problems& problems) {
  each_row(all.levels, [&](const auto& table, std::size_t i) { check_level(table, i, problems); });
  each_row(all.ranges, [&](const auto& table, std::size_t i) { check_range(table, i, problems); });
  each_row(all.titrations,
           [&](const auto& table, std::size_t i) { check_titration(table, i, problems); });
  each_row(all.cautions, [&](const auto& table, std::size_t i) {
    check_product(table, i, table.rows[i].product, problems);
  });
  each_row(all.composition, [&](const auto& table, std::size_t i) {
    check_within(table.place(i, "mass_fraction"), "mass_fraction", table.rows[i].mass_fraction, 0,
                 1, problems);
  });
  each_row(all.substances, [&](const auto& table, std::size_t i) {
    check_within(table.place(i, "molar_mass_g_per_mol"), "molar_mass_g_per_mol",
                 table.rows[i].molar_mass_g_per_mol, 1, 1e7, problems);
    check_id(table, i, "id", table.rows[i].id, problems);
  });
  each_row(all.ingredients, [&](const auto& table, std::size_t i) {
    check_id(table, i, "id", table.rows[i].id, problems);
  });
  each_row(all.classes, [&](const auto& table, std::size_t i) {
    check_id(table, i, "class", table.rows[i].class_name, problems);
  });
}

}  // namespace counterion::tables
