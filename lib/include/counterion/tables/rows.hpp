// SPDX-License-Identifier: MIT
// One struct for each table of reference-tables; a row is one fact with its source. Rows are views:
// their texts live as long as a copy of the Tables that holds them, those of Tables::built_in() for ever.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace counterion::tables {

/// Kinds of product that rows and formulas speak of.
inline constexpr std::array<std::string_view, 14> product_kinds{
    "armpit", "baby", "body", "eye",  "face", "foot",  "hair",
    "hand",   "intimate", "lip", "nail", "oral", "scalp", "spray"};

/// How a figure came into the tables; `own` is what a user's own folder states.
enum class Reliability { looked_up, computed, common_practice, memory, assumption, own };

/// Where a row's figure stands in print; `row_id` cites the row itself, "ranges/urea/stability/…".
struct Provenance {
  std::string_view source;
  std::string_view locator;
  std::string_view as_printed;
  Reliability reliability = Reliability::assumption;
  std::string_view note;
  std::string_view row_id;
  bool operator==(const Provenance&) const = default;
};

struct Source {
  std::string_view key;
  std::string_view kind;
  std::string_view citation;
  std::string_view date_seen;
  bool operator==(const Source&) const = default;
};

enum class Phase { water, oil, either };

struct Ingredient {
  std::string_view id;
  std::string_view inci;
  std::string_view cas;
  std::string_view functions;  ///< words separated by `;`, sorted
  Phase phase = Phase::water;
  std::optional<double> use_minimum_percent;
  std::optional<double> use_maximum_percent;
  std::string_view like;  ///< in a user's own folder: whose classes, ranges, … it shares unless it says others
  Provenance provenance;
  bool operator==(const Ingredient&) const = default;
};

/// Whether a function is among the words of the ingredient's.
constexpr bool has_function(const Ingredient& ingredient, std::string_view function) noexcept {
  auto rest = ingredient.functions;
  while (!rest.empty()) {
    const auto end = rest.find(';');
    if (rest.substr(0, end) == function) return true;
    rest.remove_prefix(end == rest.npos ? rest.size() : end + 1);
  }
  return false;
}

/// What people call an ingredient; of several that a name may mean, rank 1 is the usual one.
struct Name {
  std::string_view name;
  std::string_view ingredient;
  int rank = 1;
  std::string_view source;
  bool operator==(const Name&) const = default;
};

struct ClassMember {
  std::string_view class_name;
  std::string_view ingredient;
  std::string_view source;
  bool operator==(const ClassMember&) const = default;
};

enum class SubstanceKind { protolyte, ion, neutral, compound, polymer_acid };

/// A chemical species; a protolyte's charge is that of its fully protonated form.
struct Substance {
  std::string_view id;
  std::string_view name;
  SubstanceKind kind = SubstanceKind::neutral;
  double molar_mass_g_per_mol = 0;
  int charge = 0;
  Provenance provenance;
  bool operator==(const Substance&) const = default;
};

/// A number of a substance, its `quantity` in `unit`: a pK step, what a compound falls apart into,
/// how oils, micelles, solvents, air or another ion act on it. `uncertainty` is a half width, of
/// log10 of the value for oil-water-partition, oil-dimerisation and micelle-binding.
struct Constant {
  std::string_view substance;
  std::string_view quantity;
  int step = 0;
  std::string_view partner;
  double value = 0;
  std::string_view unit;
  double uncertainty = 0;
  std::optional<double> dH_kJ_per_mol;
  std::optional<double> dCp_J_per_mol_K;
  std::optional<double> temperature_celsius;
  std::optional<double> ionic_strength_mol_per_kg;
  int rank = 1;
  std::string_view rank_reason;
  Provenance provenance;
  bool operator==(const Constant&) const = default;
};

/// A part of a material as supplied; `component` is a substance, or water, oil, inert.
struct Component {
  std::string_view ingredient;
  std::string_view component;
  double mass_fraction = 0;
  double uncertainty = 0;
  Provenance provenance;
  bool operator==(const Component&) const = default;
};

/// A span of pH: where something is stable, mild, effective, or what a raw material was declared at.
struct Range {
  std::string_view subject;
  std::string_view kind;
  std::optional<double> minimum;
  std::optional<double> ideal_low;
  std::optional<double> ideal_high;
  std::optional<double> maximum;
  std::optional<double> at_percent;
  std::string_view condition;
  std::string_view why;
  int rank = 1;
  std::string_view rank_reason;
  Provenance provenance;
  bool operator==(const Range&) const = default;
};

/// A level: legal maximum, least effective amount, residual charge, usual stock strength.
struct Level {
  std::string_view subject;
  std::string_view kind;
  double value = 0;
  std::optional<double> upper_value;
  std::string_view unit;
  std::string_view market;
  std::string_view product;
  std::string_view expressed_as;
  std::string_view condition;
  int rank = 1;
  std::string_view rank_reason;
  Provenance provenance;
  bool operator==(const Level&) const = default;
};

enum class Severity { note, caution, stop };

/// What happens when A (and B) meet, or A alone, inside a span of pH and level.
struct Caution {
  std::string_view id;
  std::string_view a;
  std::string_view b;
  std::optional<double> minimum_ph;
  std::optional<double> maximum_ph;
  std::optional<double> a_minimum_percent;
  std::optional<double> a_maximum_percent;
  std::string_view product;
  Severity severity = Severity::note;
  std::string_view what_happens;
  std::string_view what_to_do;
  Provenance provenance;
  bool operator==(const Caution&) const = default;
};

/// A slow reaction of a material, and what a maker sees of it.
struct Change {
  std::string_view id;
  std::string_view reactant;
  std::string_view product;
  std::string_view acid_base_effect;
  std::string_view quantity;
  std::optional<double> value;
  std::string_view unit;
  std::optional<double> minimum_ph;
  std::optional<double> maximum_ph;
  std::optional<double> temperature_celsius;
  std::optional<double> activation_energy_kJ_per_mol;
  std::string_view watch_for;
  Provenance provenance;
  bool operator==(const Change&) const = default;
};

/// One point of a titration of a material: what it reads in water after so much strong base (+) or
/// acid (-) a gram of it as supplied.
struct Titration {
  std::string_view ingredient;
  double at_percent = 0;  ///< mass percent of the material in the liquid that was read
  double added_meq_per_g = 0;
  double ph = 0;
  Provenance provenance;
  bool operator==(const Titration&) const = default;
};

/// Something that goes wrong at the bench, and how it shows.
struct Mishap {
  std::string_view id;
  std::string_view kind;
  double prior_weight = 0;
  std::string_view how_it_shows;
  std::string_view cheapest_check;  ///< one sentence
  std::string_view check;           ///< its name; mishaps with one name share the check
  double check_minutes = 5;         ///< that it takes
  Provenance provenance;
  bool operator==(const Mishap&) const = default;
};

}  // namespace counterion::tables
