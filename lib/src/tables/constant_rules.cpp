// SPDX-License-Identifier: MIT
// What a row of the table constants must look like, quantity by quantity.
#include "content.hpp"
#include "table_texts.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <map>
#include <set>
#include <span>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;
using Words = std::span<const std::string_view>;

/// Whose constant it is, where the kind of substance matters.
enum class Subject { any, solute, solvent, charged_form, polymer };

/// What stands in the column partner.
enum class Partner { none, air, charged_form, oil, part, shifted, surfactant };

/// `unit` is that of step 0 or 1, `next_unit` that of the step after it where it differs.
struct Rule {
  std::string_view quantity;
  std::string_view unit;
  std::string_view next_unit;
  int lowest_step;
  int highest_step;
  Subject subject;
  Partner partner;
  double above;
  double at_most;
  bool has_uncertainty;
};

// Sorted; one quantity a line.
// clang-format off
constexpr std::array rules{
    Rule{"counts-as", "mol_per_mol", "", 0, 0, Subject::any, Partner::part, 0, 100, false},
    Rule{"dissociates-into", "mol_per_mol", "", 0, 0, Subject::any, Partner::part, 0, 100, false},
    Rule{"henry-constant", "mol_per_kg_per_atm", "", 0, 0, Subject::solute, Partner::air, 0, 100, true},
    Rule{"ion-size", "angstrom", "", 0, 0, Subject::any, Partner::none, 0, 20, false},
    Rule{"micelle-binding", "per_percent", "", 0, 0, Subject::solute, Partner::surfactant, 0, 1e4, true},
    Rule{"neutral-solubility", "mol_per_kg", "", 0, 0, Subject::solute, Partner::none, 0, 100, true},
    Rule{"oil-dimerisation", "litre_per_mol", "", 0, 0, Subject::solute, Partner::oil, 0, 1e7, true},
    Rule{"oil-water-partition", "ratio", "", 0, 0, Subject::solute, Partner::oil, 0, 1e8, true},
    Rule{"partial-pressure", "atm", "", 0, 0, Subject::solute, Partner::air, 0, 1, true},
    Rule{"pK", "", "", 1, 12, Subject::any, Partner::none, -10, 20, false},
    Rule{"polymer-pK0", "", "", 0, 0, Subject::polymer, Partner::none, -10, 20, true},
    Rule{"polymer-site-spacing", "angstrom", "", 0, 0, Subject::polymer, Partner::none, 0.5, 100, true},
    Rule{"solvent-shift", "pK_per_mass_fraction", "pK_per_mass_fraction_squared", 1, 2,
         Subject::solvent, Partner::shifted, -10, 10, true},
    Rule{"specific-ion-interaction", "kg_per_mol", "", 0, 12, Subject::charged_form,
         Partner::charged_form, -2, 2, true},
};
// clang-format on

constexpr std::array<std::string_view, 1> gases{"air"};
constexpr std::array<std::string_view, 4> oils{"vegetable-oil", "mineral-oil", "ester-oil",
                                               "unknown-oil"};
constexpr std::array<std::string_view, 2> surfactants{"polysorbate", "nonionic-ethoxylate"};
constexpr std::array<std::string_view, 3> shifted_steps{"neutral-acid", "anionic-acid",
                                                        "cationic-acid"};

bool contains(Words words, std::string_view word) {
  return std::ranges::find(words, word) != words.end();
}

std::string joined(Words words) {
  std::string text;
  for (const auto word : words) text += (text.empty() ? "" : " | ") + std::string(word);
  return text;
}

std::string quoted(std::string_view text, std::string_view when_empty = "''") {
  return text.empty() ? std::string(when_empty) : fmt::format("'{}'", text);
}

/// The substances by id, and how many protons each protolyte can lose.
struct Substances {
  std::map<std::string_view, Substance> rows;
  std::map<std::string_view, int> steps;
};

Substances collect_substances(const TableTexts& all) {
  Substances known;
  for (const auto& row : all.substances.rows) known.rows.emplace(row.id, row);
  for (const auto& row : all.constants.rows)
    if (row.quantity == "pK" && row.rank == 1) ++known.steps[row.substance];
  return known;
}

/// The form of a substance after `lost` protons: its charge, 0 where there is no such form.
int charge_of_form(const Substances& known, std::string_view id, int lost) {
  const auto found = known.rows.find(id);
  if (found == known.rows.end()) return 0;
  const auto& substance = found->second;
  const auto steps = known.steps.find(id);
  const int most = steps == known.steps.end() ? 0 : steps->second;
  const bool charged =
      substance.kind == SubstanceKind::ion || substance.kind == SubstanceKind::protolyte;
  return charged && lost <= most ? substance.charge - lost : 0;
}

/// The same for a partner, written "sodium" or, after one lost proton, "lactic-acid:1".
int charge_of_partner(const Substances& known, std::string_view partner) {
  const auto colon = partner.find(':');
  if (colon == partner.npos) return charge_of_form(known, partner, 0);
  const auto digits = partner.substr(colon + 1);
  const bool number = !digits.empty() && digits.size() <= 2 && digits.front() != '0' &&
                      digits.find_first_not_of("0123456789") == digits.npos;
  return number ? charge_of_form(known, partner.substr(0, colon), std::stoi(std::string(digits)))
                : 0;
}

bool is_kind(const Substances& known, std::string_view id, SubstanceKind kind) {
  const auto found = known.rows.find(id);
  return found != known.rows.end() && found->second.kind == kind;
}

/// What was expected in the column partner; empty when it is fine.
std::string expected_partner(const Rule& rule, const Constant& row, const Substances& known) {
  const auto unless = [](bool fine, std::string expected) {
    return fine ? std::string() : expected;
  };
  const auto one_of = [&](Words words) {
    return unless(contains(words, row.partner), joined(words));
  };
  switch (rule.partner) {
    case Partner::none:
      return unless(row.partner.empty(), "an empty cell");
    case Partner::air:
      return one_of(gases);
    case Partner::oil:
      return one_of(oils);
    case Partner::surfactant:
      return one_of(surfactants);
    case Partner::part:
      return unless(known.rows.contains(row.partner), "an id of the table substances");
    case Partner::shifted:
      return unless(contains(shifted_steps, row.partner) ||
                        is_kind(known, row.partner, SubstanceKind::protolyte),
                    joined(shifted_steps) + " | a protolyte of the table substances");
    case Partner::charged_form:
      return unless(charge_of_partner(known, row.partner) != 0,
                    "a charged substance of the table substances, after n lost protons 'id:n'");
  }
  return {};
}

/// What was expected of the substance; empty when it is fine.
std::string expected_subject(const Rule& rule, const Constant& row, const Substances& known) {
  const bool neutral = is_kind(known, row.substance, SubstanceKind::neutral);
  const bool protolyte = is_kind(known, row.substance, SubstanceKind::protolyte);
  if (!known.rows.contains(row.substance)) return {};
  if (rule.subject == Subject::solvent && !neutral) return "a substance of the kind neutral";
  if (rule.subject == Subject::solute && !neutral && !protolyte)
    return "a substance of the kind neutral or protolyte";
  if (rule.subject == Subject::polymer && !is_kind(known, row.substance, SubstanceKind::polymer_acid))
    return "a substance of the kind polymer-acid";
  return {};
}

/// The numbers of one row.
void check_numbers(const Rule& rule, const Constant& row, const TableText<Constant>& table,
                   std::size_t i, Problems& problems) {
  if (!(row.value > rule.above && row.value <= rule.at_most)) {
    add_problem(problems, table.place(i, "value"),
                fmt::format("{} {}", row.quantity, text::format_number(row.value)),
                "more than " + text::format_number(rule.above) + ", at most " +
                    text::format_number(rule.at_most));
  }
  if (rule.has_uncertainty && !(row.uncertainty > 0)) {
    add_problem(problems, table.place(i, "uncertainty"),
                fmt::format("{} of {} without uncertainty", row.quantity, row.substance), "its half width");
  }
  if (row.quantity != "henry-constant") return;
  if (!row.dH_kJ_per_mol)
    add_problem(problems, table.place(i, "dH_kJ_per_mol"), "an empty cell",
                "the enthalpy of dissolution");
  if (!row.dCp_J_per_mol_K)
    add_problem(problems, table.place(i, "dCp_J_per_mol_K"), "an empty cell",
                "the heat capacity of dissolution");
}

/// The step of one row and, which depends on it, its unit.
void check_step(const Rule& rule, const Constant& row, const TableText<Constant>& table,
                std::size_t i, const Substances& known, Problems& problems) {
  const auto step = fmt::format("step {} of {}", row.step, row.substance);
  if (row.step < rule.lowest_step || row.step > rule.highest_step) {
    add_problem(problems, table.place(i, "step"), step,
                rule.highest_step == 0 ? "an empty cell"
                                       : std::to_string(rule.lowest_step) + " to " +
                                             std::to_string(rule.highest_step));
    return;
  }
  const auto unit = row.step > 1 && !rule.next_unit.empty() ? rule.next_unit : rule.unit;
  if (row.unit != unit) {
    add_problem(problems, table.place(i, "unit"),
                fmt::format("{} for {}", quoted(row.unit, "no unit"), row.quantity),
                unit.empty() ? "an empty cell" : std::string(unit));
  }
  if (rule.subject == Subject::charged_form && known.rows.contains(row.substance) &&
      charge_of_form(known, row.substance, row.step) == 0) {
    add_problem(problems, table.place(i, "step"), step + ", which has no charge or does not exist",
                "how many protons a charged form has lost");
  }
}

void check_row(const TableText<Constant>& table, std::size_t i, const Substances& known,
               Problems& problems) {
  const auto& row = table.rows[i];
  const auto rule = std::ranges::find(rules, row.quantity, &Rule::quantity);
  if (rule == rules.end()) {
    std::vector<std::string_view> quantities;
    for (const auto& each : rules) quantities.push_back(each.quantity);
    if (!row.quantity.empty())
      add_problem(problems, table.place(i, "quantity"), quoted(row.quantity),
                  joined(quantities));
    return;
  }
  const auto subject = expected_subject(*rule, row, known);
  if (!subject.empty())
    add_problem(problems, table.place(i, "substance"), quoted(row.substance), subject);
  const auto partner = expected_partner(*rule, row, known);
  if (!partner.empty())
    add_problem(problems, table.place(i, "partner"), quoted(row.partner, "an empty cell"), partner);
  check_step(*rule, row, table, i, known, problems);
  check_numbers(*rule, row, table, i, problems);
}

/// Two ions interact once: the pair must not stand again the other way round.
void check_pairs(const TableText<Constant>& table, Problems& problems) {
  std::set<std::pair<std::string, std::string>> pairs;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (row.quantity != "specific-ion-interaction" || row.rank != 1) continue;
    const auto form = name_of_form(row.substance, row.step);
    const std::string partner(row.partner);
    pairs.emplace(form, partner);
    if (form == partner || !pairs.contains({partner, form})) continue;
    add_problem(problems, table.place(i, "partner"), fmt::format("{} with {} again", form, partner),
                "every pair of ions once");
  }
}

}  // namespace

void check_constants(const TableTexts& all, Problems& problems) {
  const auto known = collect_substances(all);
  for (std::size_t i = 0; i < all.constants.rows.size(); ++i)
    check_row(all.constants, i, known, problems);
  check_pairs(all.constants, problems);
}

}  // namespace counterion::tables
