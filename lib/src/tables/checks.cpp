// SPDX-License-Identifier: MIT
#include "row_ids.hpp"
#include "table_texts.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>

namespace counterion::tables {
namespace {

using Problems = std::vector<Problem>;
using Words = std::vector<std::string_view>;

constexpr double fraction_tolerance = 0.002;

// Which sources, ingredients, classes and substances there are.
struct Known {
  std::set<std::string_view> sources, ingredients, classes, substances;
};

template <class Row>
std::set<std::string_view> collect(const TableText<Row>& table, std::string_view Row::*member) {
  std::set<std::string_view> all;
  for (const auto& row : table.rows) all.insert(row.*member);
  return all;
}

/// Runs `expected(row)` over a table: an empty answer is fine, else what was expected of `column`.
template <class Row, class Text, class Expected>
void check_column(const TableText<Row>& table, std::string_view column, Text text,
                  Expected expected, Problems& problems) {
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const std::string_view found = std::invoke(text, table.rows[i]);
    if (found.empty()) continue;
    const std::string wanted = expected(found);
    if (!wanted.empty()) {
      add_problem(problems, table.place(i, column), fmt::format("'{}'", found), wanted);
    }
  }
}

template <class Set>
auto one_of(const Set& known, std::string what) {
  return [&known, what](std::string_view text) {
    return known.contains(text) ? std::string() : what;
  };
}

auto one_of_words(Words words) {
  return [words](std::string_view text) {
    if (std::ranges::find(words, text) != words.end()) return std::string();
    std::string expected;
    for (const auto word : words) expected += (expected.empty() ? "" : " | ") + std::string(word);
    return expected;
  };
}

auto subject_of(const Known& known, Words also) {
  return [&known, also](std::string_view text) {
    const bool fine = known.ingredients.contains(text) || known.classes.contains(text) ||
                      text.starts_with("product:") || std::ranges::find(also, text) != also.end();
    return fine ? std::string() : std::string("an ingredient's id, a class or a product type");
  };
}

template <class Row>
void check_provenance(const TableText<Row>& table, const Known& known, Origin origin,
                      Problems& problems) {
  check_column(
      table, "source", [](const Row& row) { return row.provenance.source; },
      one_of(known.sources, "a key of the table sources"), problems);
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& provenance = table.rows[i].provenance;
    if (provenance.reliability == Reliability::own && origin == Origin::reference) {
      add_problem(problems, table.place(i, "reliability"), "'own' in the reference tables",
                  "looked-up | computed | common-practice | memory | assumption");
    }
    if (provenance.reliability != Reliability::looked_up) continue;
    if (provenance.locator.empty()) {
      add_problem(problems, table.place(i, "locator"), "a figure looked up nowhere",
                  "a locator (page, table, entry)");
    }
    if (provenance.as_printed.empty()) {
      add_problem(problems, table.place(i, "as_printed"), "a figure looked up but not shown",
                  "the figure as it is printed");
    }
  }
}

void check_all_provenance(const TableTexts& all, const Known& known, Origin origin,
                          Problems& problems) {
  check_provenance(all.ingredients, known, origin, problems);
  check_provenance(all.substances, known, origin, problems);
  check_provenance(all.constants, known, origin, problems);
  check_provenance(all.composition, known, origin, problems);
  check_provenance(all.ranges, known, origin, problems);
  check_provenance(all.levels, known, origin, problems);
  check_provenance(all.cautions, known, origin, problems);
  check_provenance(all.changes, known, origin, problems);
  check_provenance(all.mishaps, known, origin, problems);
  check_provenance(all.titrations, known, origin, problems);
  const auto source = one_of(known.sources, "a key of the table sources");
  check_column(all.names, "source", &Name::source, source, problems);
  check_column(all.classes, "source", &ClassMember::source, source, problems);
}

void check_references(const TableTexts& all, const Known& known, Problems& problems) {
  const auto ingredient = one_of(known.ingredients, "an id of the table ingredients");
  const auto substance = one_of(known.substances, "an id of the table substances");
  check_column(all.names, "ingredient", &Name::ingredient, ingredient, problems);
  check_column(all.classes, "ingredient", &ClassMember::ingredient, ingredient, problems);
  check_column(all.composition, "ingredient", &Component::ingredient, ingredient, problems);
  check_column(all.changes, "reactant", &Change::reactant, ingredient, problems);
  check_column(all.titrations, "ingredient", &Titration::ingredient, ingredient, problems);
  check_column(all.constants, "substance", &Constant::substance, substance, problems);
  check_column(all.levels, "expressed_as", &Level::expressed_as, substance, problems);
  check_column(
      all.composition, "component", &Component::component,
      [&](std::string_view text) {
        const bool bulk = text == "water" || text == "oil" || text == "inert";
        return bulk ? std::string() : substance(text);
      },
      problems);
  check_column(all.ranges, "subject", &Range::subject, subject_of(known, {}), problems);
  check_column(all.levels, "subject", &Level::subject,
               subject_of(known, {"unlisted", "default", "air", "batch", "formula", "measurement"}), problems);
  check_column(all.cautions, "a", &Caution::a, subject_of(known, {}), problems);
  check_column(all.cautions, "b", &Caution::b, subject_of(known, {}), problems);
}

void check_words(const TableTexts& all, Problems& problems) {
  check_column(all.sources, "kind", &Source::kind,
               one_of_words({"regulation", "standard", "pharmacopoeia", "handbook", "paper",
                             "dataset", "common-practice", "memory", "assumption", "own"}),
               problems);
  check_column(
      all.ranges, "kind", &Range::kind,
      one_of_words({"stability", "irritation", "viscosity", "solubility", "law", "preservation",
                    "efficacy", "uptake", "comfort", "skin", "as-supplied"}),
      problems);
}

/// Says where numbers that have to rise along a row do not.
template <class Row>
void check_rising(const TableText<Row>& table,
                  std::vector<std::pair<std::string, std::optional<double> Row::*>> columns,
                  Problems& problems) {
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    std::optional<double> before;
    std::string before_name;
    for (const auto& [name, member] : columns) {
      const auto value = table.rows[i].*member;
      if (!value) continue;
      if (before && *before > *value) {
        add_problem(problems, table.place(i, name), name + " " + text::format_number(*value),
                    "no less than " + before_name + ", " + text::format_number(*before));
      }
      before = value;
      before_name = name;
    }
  }
}

void check_spans(const TableTexts& all, Problems& problems) {
  check_rising<Ingredient>(all.ingredients,
                           {{"use_min_percent", &Ingredient::use_minimum_percent},
                            {"use_max_percent", &Ingredient::use_maximum_percent}},
                           problems);
  check_rising<Range>(all.ranges,
                      {{"minimum", &Range::minimum},
                       {"ideal_low", &Range::ideal_low},
                       {"ideal_high", &Range::ideal_high},
                       {"maximum", &Range::maximum}},
                      problems);
  check_rising<Caution>(
      all.cautions, {{"minimum_pH", &Caution::minimum_ph}, {"maximum_pH", &Caution::maximum_ph}},
      problems);
  check_rising<Caution>(all.cautions,
                        {{"a_minimum_percent", &Caution::a_minimum_percent},
                         {"a_maximum_percent", &Caution::a_maximum_percent}},
                        problems);
  check_rising<Change>(all.changes,
                       {{"minimum_pH", &Change::minimum_ph}, {"maximum_pH", &Change::maximum_ph}},
                       problems);
  for (std::size_t i = 0; i < all.levels.rows.size(); ++i) {
    const auto& level = all.levels.rows[i];
    if (level.upper_value && *level.upper_value < level.value) {
      add_problem(problems, all.levels.place(i, "upper_value"),
                  "upper_value " + text::format_number(*level.upper_value),
                  "no less than value, " + text::format_number(level.value));
    }
  }
}

/// Keys that rows of rank 1 have in common where they should not, and facts without such a row.
template <class Row, class Fact, class Key>
void check_ranks(const TableText<Row>& table, Fact fact_of, Key key_of, Problems& problems) {
  const std::string expected = "one row of rank 1 for each fact";
  std::set<std::string> first_choices, settled;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (row.rank != 1) continue;
    settled.insert(fact_of(row));
    if (first_choices.insert(key_of(row)).second) continue;
    add_problem(problems, table.place(i, "rank"), "a second row of rank 1 for " + key_of(row),
                expected);
  }
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (!settled.insert(fact_of(table.rows[i])).second) continue;
    add_problem(problems, table.place(i, "rank"), "no row of rank 1 for " + fact_of(table.rows[i]),
                expected);
  }
}

void check_all_ranks(const TableTexts& all, Problems& problems) {
  const auto constant = [](const Constant& row) {
    const auto step = row.step == 0 ? std::string() : std::to_string(row.step);
    return join_key({row.substance, row.quantity, step, row.partner});
  };
  const auto range = [](const Range& row) { return join_key({row.subject, row.kind}); };
  const auto level = [](const Level& row) {
    return join_key({row.subject, row.kind, row.market, row.product});
  };
  // The law may set several levels under several conditions, each the first choice under its own.
  const auto conditioned = [&](const Level& row) {
    return join_key({level(row), slug(row.condition)});
  };
  check_ranks(all.constants, constant, constant, problems);
  check_ranks(all.ranges, range, range, problems);
  check_ranks(all.levels, level, conditioned, problems);
}

/// Sum of the fractions of each ingredient, and the last row that says one.
std::map<std::string_view, std::pair<double, std::size_t>> sum_fractions(
    const TableText<Component>& table) {
  std::map<std::string_view, std::pair<double, std::size_t>> sums;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    auto& [sum, last] = sums[table.rows[i].ingredient];
    sum += table.rows[i].mass_fraction;
    last = i;
  }
  return sums;
}

void check_composition(const TableTexts& all, Problems& problems) {
  const auto sums = sum_fractions(all.composition);
  for (const auto& [ingredient, sum] : sums) {
    if (std::abs(sum.first - 1) <= fraction_tolerance) continue;
    add_problem(problems, all.composition.place(sum.second, "mass_fraction"),
                fmt::format("fractions of {} that add up to {}", ingredient,
                            text::format_number(sum.first)),
                "a sum of 1");
  }
  if (all.composition.lines.empty()) return;
  for (std::size_t i = 0; i < all.ingredients.rows.size(); ++i) {
    const auto& id = all.ingredients.rows[i].id;
    if (sums.contains(id)) continue;
    add_problem(problems, all.ingredients.place(i, "id"), fmt::format("{} without composition", id),
                "what it brings, in the table composition");
  }
}

using Ladder = std::vector<std::size_t>;  // rows of one substance's pK, first choices only

std::map<std::string_view, Ladder> pk_ladders(const TableText<Constant>& table) {
  std::map<std::string_view, Ladder> ladders;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (row.quantity == "pK" && row.rank == 1) ladders[row.substance].push_back(i);
  }
  for (auto& [substance, ladder] : ladders) {
    std::ranges::stable_sort(ladder, {}, [&](std::size_t i) { return table.rows[i].step; });
  }
  return ladders;
}

void check_ladder(const TableText<Constant>& table, const Ladder& ladder, Problems& problems) {
  for (std::size_t n = 0; n < ladder.size(); ++n) {
    const auto& row = table.rows[ladder[n]];
    if (row.step != static_cast<int>(n) + 1) {
      add_problem(problems, table.place(ladder[n], "step"),
                  fmt::format("step {} of {}", row.step, row.substance),
                  "step " + std::to_string(n + 1));
    }
    if (n > 0 && row.value < table.rows[ladder[n - 1]].value) {
      add_problem(problems, table.place(ladder[n], "value"),
                  fmt::format("pK {} of {}", text::format_number(row.value), row.substance),
                  "no less than the step before it");
    }
    if (!(row.uncertainty > 0)) {
      add_problem(problems, table.place(ladder[n], "uncertainty"),
                  fmt::format("a pK of {} without uncertainty", row.substance), "its half width");
    }
  }
}

void check_chemistry(const TableTexts& all, Problems& problems) {
  const auto ladders = pk_ladders(all.constants);
  for (const auto& [substance, ladder] : ladders) check_ladder(all.constants, ladder, problems);
  if (all.constants.lines.empty()) return;
  std::set<std::string_view> dissociating, polymers;
  for (const auto& row : all.constants.rows) {
    if (row.quantity == "dissociates-into") dissociating.insert(row.substance);
    if (row.quantity == "polymer-pK0") polymers.insert(row.substance);
  }
  for (std::size_t i = 0; i < all.substances.rows.size(); ++i) {
    const auto& row = all.substances.rows[i];
    if (row.kind == SubstanceKind::protolyte && !ladders.contains(row.id)) {
      add_problem(problems, all.substances.place(i, "kind"), fmt::format("protolyte {} without pK", row.id),
                  "its steps in the table constants");
    }
    if (row.kind == SubstanceKind::polymer_acid && !polymers.contains(row.id)) {
      add_problem(problems, all.substances.place(i, "kind"), fmt::format("polymer-acid {} without pK", row.id),
                  "its polymer-pK0 in the table constants");
    }
    if (row.kind == SubstanceKind::compound && !dissociating.contains(row.id)) {
      add_problem(problems, all.substances.place(i, "kind"),
                  fmt::format("compound {} without parts", row.id),
                  "dissociates-into rows in the table constants");
    }
  }
}

/// No two ids may read alike.
void check_ids(const TableText<Ingredient>& table, Problems& problems) {
  std::map<std::string, std::string_view> owners;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto id = table.rows[i].id;
    const auto [owner, is_new] = owners.emplace(text::normalise(id), id);
    if (is_new) continue;
    add_problem(problems, table.place(i, "id"), fmt::format("{} reads like {}", id, owner->second),
                "ids that differ in letters or digits");
  }
}

/// A subject must be one or the other.
void check_classes(const TableText<ClassMember>& table, const Known& known, Problems& problems) {
  for (std::size_t i = 0; i < table.rows.size(); ++i)
    if (known.ingredients.contains(table.rows[i].class_name))
      add_problem(problems, table.place(i, "class"),
                  fmt::format("the class {}, which is an ingredient's id", table.rows[i].class_name),
                  "a name of its own");
}

/// A check digit that does not fit shows a slip in a CAS number.
bool is_cas_number(std::string_view text) {
  const auto first = text.find('-'), last = text.rfind('-');
  const bool shaped = first != text.npos && first >= 2 && first <= 7 && last == first + 3 &&
                      text.size() == last + 2;
  if (!shaped || text.find_first_not_of("0123456789-") != text.npos) return false;
  int sum = 0, weight = 0;
  for (std::size_t i = last; i-- > 0;)
    if (text[i] != '-') sum += ++weight * (text[i] - '0');
  return sum % 10 == text.back() - '0';
}

void check_cas_numbers(const TableTexts& all, Problems& problems) {
  check_column(
      all.ingredients, "cas", &Ingredient::cas,
      [](std::string_view text) {
        return std::string(is_cas_number(text) ? "" : "a CAS number whose check digit fits");
      },
      problems);
}

/// A name may mean several ingredients, each once, and exactly one of them usually.
void check_names(const TableText<Name>& table, Problems& problems) {
  std::map<std::pair<std::string, std::string_view>, std::size_t> meanings;
  std::map<std::string, std::size_t> usual;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    const auto key = text::normalise(row.name);
    const auto [meaning, is_new] = meanings.emplace(std::pair(key, row.ingredient), i);
    if (!is_new) {
      add_problem(problems, table.place(i, "name"),
                  fmt::format("'{}' reads like '{}' in line {}", row.name,
                              table.rows[meaning->second].name, table.lines[meaning->second]),
                  "every name of an ingredient once");
    } else if (row.rank == 1 && !usual.emplace(key, i).second) {
      add_problem(problems, table.place(i, "rank"),
                  fmt::format("a second row of rank 1 for '{}', first in line {}", row.name,
                              table.lines[usual.at(key)]),
                  "one usual meaning of a name");
    }
  }
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    if (usual.contains(text::normalise(table.rows[i].name))) continue;
    add_problem(problems, table.place(i, "rank"),
                fmt::format("no row of rank 1 for '{}'", table.rows[i].name),
                "one usual meaning of a name");
  }
}

}  // namespace

void check_rows(const TableTexts& all, Origin origin, Problems& problems) {
  const Known known{collect(all.sources, &Source::key), collect(all.ingredients, &Ingredient::id),
                    collect(all.classes, &ClassMember::class_name),
                    collect(all.substances, &Substance::id)};
  check_all_provenance(all, known, origin, problems);
  check_references(all, known, problems);
  check_words(all, problems);
  check_spans(all, problems);
  check_values(all, problems);
  check_all_ranks(all, problems);
  check_composition(all, problems);
  check_chemistry(all, problems);
  check_constants(all, problems);
  check_changes(all, problems);
  check_ids(all.ingredients, problems);
  check_classes(all.classes, known, problems);
  check_cas_numbers(all, problems);
  check_names(all.names, problems);
}

}  // namespace counterion::tables
