// SPDX-License-Identifier: MIT
// What to change where something says stop; every remedy has been judged again before it is offered.
#pragma once

#include <counterion/answer/judged.hpp>

#include <array>
#include <string_view>

namespace counterion {

/// Kinds of change.
enum class ChangeKind {
  another_form,          ///< another salt, derivative or grade of the same active
  lower_level,           ///< less of it
  more_preservative,     ///< more of an acid preservative, within its usual dose
  another_preservative,  ///< another preservative system in place of the present one
  another_material,      ///< another material for the same job
  leave_out,
  two_products           ///< what cannot stand together goes into two products
};
inline constexpr std::array<std::string_view, 7> change_kind_names{
    "another-form", "lower-level", "more-preservative", "another-preservative",
    "another-material", "leave-out", "two-products"};

/// One change of a formula.
struct Change {
  ChangeKind kind = ChangeKind::leave_out;
  std::vector<std::size_t> items;   ///< lines of the formula as it was asked about
  std::vector<std::string> names;   ///< their names
  double percent_before = 0;        ///< of all of them
  std::string ingredient;           ///< id of what takes their place; empty when nothing does
  std::string name;                 ///< its name
  double percent_after = 0;
};

/// A product that a remedy leads to, judged again.
struct RemedyOutcome {
  Formula formula;
  std::optional<double> ph, p05, p95;  ///< predicted; none without a water phase
  double low = 0, high = 14;           ///< its window
  std::optional<double> target;
  bool adjustment_needed = false;
  std::string adjuster;                ///< that reaches the target, by name; empty where none is needed
};

/// A remedy: its changes, and what comes of them. It always needs a new challenge test and assessment.
struct Remedy {
  std::vector<Change> changes;
  std::vector<RemedyOutcome> products;  ///< one, or two where the formula is split
  double cost = 0;                      ///< how much changes (assumption); the list has the least first
};

/// What the person rules out; ids of ingredients or classes.
struct Exclusions {
  std::vector<std::string> without;  ///< never brought in
  std::vector<std::string> keep;     ///< never replaced, lowered or left out
};

/// Words that stand below every remedy.
inline constexpr std::string_view remedy_caveat = "A changed formula needs a new challenge test and assessment.";

/// At most so many remedies are offered.
inline constexpr std::size_t most_remedies = 6;

/// Remedies for what says stop in a formula, or for a preservation below its published figures; none where
/// nothing does, and where none was found. Never brought in: formaldehyde donors, isothiazolinones in what
/// stays on the skin, medicines, what is forbidden or for professionals alone. Never left out: the only
/// preservative, UV filters.
std::vector<Remedy> remedies_for(const Formula& formula, const Judged& judged, const Tables& tables,
                                 const JudgeOptions& options = {}, const Exclusions& exclusions = {});

/// A formula with an item replaced, or taken out where `ingredient` is empty; water makes up the
/// difference. Empty where there is not enough water.
std::optional<Formula> with_change(const Formula& formula, const Change& change);

}  // namespace counterion
