// SPDX-License-Identifier: MIT
// One struct for each table of reference-tables; a row is one fact with its source.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace counterion::tables {

/// How a figure came into the tables.
enum class Reliability { looked_up, computed, common_practice, memory, assumption };

/// Where a row's figure stands in print; `row_id` cites the row itself, "ranges/urea/stability/…".
struct Provenance {
  std::string source;
  std::string locator;
  std::string as_printed;
  Reliability reliability = Reliability::assumption;
  std::string note;
  std::string row_id;
};

struct Source {
  std::string key;
  std::string kind;
  std::string citation;
  std::string date_seen;
};

enum class Phase { water, oil, either };

struct Ingredient {
  std::string id;
  std::string inci;
  std::string cas;
  std::vector<std::string> functions;
  Phase phase = Phase::water;
  std::optional<double> use_minimum_percent;
  std::optional<double> use_maximum_percent;
  Provenance provenance;
};

struct Name {
  std::string name;
  std::string ingredient;
  std::string source;
};

struct ClassMember {
  std::string class_name;
  std::string ingredient;
  std::string source;
};

enum class SubstanceKind { protolyte, ion, neutral, compound, polymer_acid };

/// A chemical species; a protolyte's charge is that of its fully protonated form.
struct Substance {
  std::string id;
  std::string name;
  SubstanceKind kind = SubstanceKind::neutral;
  double molar_mass_g_per_mol = 0;
  int charge = 0;
  Provenance provenance;
};

/// A number of a substance, its `quantity` in `unit`: a pK step, what a compound falls apart into,
/// how oils, micelles, solvents, air or another ion act on it. `uncertainty` is a half width, of
/// log10 of the value for oil-water-partition, oil-dimerisation and micelle-binding.
struct Constant {
  std::string substance;
  std::string quantity;
  int step = 0;
  std::string partner;
  double value = 0;
  std::string unit;
  double uncertainty = 0;
  std::optional<double> dH_kJ_per_mol;
  std::optional<double> dCp_J_per_mol_K;
  std::optional<double> temperature_celsius;
  std::optional<double> ionic_strength_mol_per_kg;
  int rank = 1;
  std::string rank_reason;
  Provenance provenance;
};

/// A part of a material as supplied; `component` is a substance, or water, oil, inert.
struct Component {
  std::string ingredient;
  std::string component;
  double mass_fraction = 0;
  double uncertainty = 0;
  Provenance provenance;
};

/// A span of pH: where something is stable, mild, effective, or what a raw material was declared at.
struct Range {
  std::string subject;
  std::string kind;
  std::optional<double> minimum;
  std::optional<double> ideal_low;
  std::optional<double> ideal_high;
  std::optional<double> maximum;
  std::optional<double> at_percent;
  std::string condition;
  std::string why;
  int rank = 1;
  std::string rank_reason;
  Provenance provenance;
};

/// A level: legal maximum, least effective amount, residual charge, usual stock strength.
struct Level {
  std::string subject;
  std::string kind;
  double value = 0;
  std::optional<double> upper_value;
  std::string unit;
  std::string market;
  std::string product;
  std::string expressed_as;
  std::string condition;
  int rank = 1;
  std::string rank_reason;
  Provenance provenance;
};

enum class Severity { note, caution, stop };

/// What happens when A (and B) meet, or A alone, inside a span of pH and level.
struct Caution {
  std::string id;
  std::string a;
  std::string b;
  std::optional<double> minimum_ph;
  std::optional<double> maximum_ph;
  std::optional<double> a_minimum_percent;
  std::optional<double> a_maximum_percent;
  std::string product;
  Severity severity = Severity::note;
  std::string what_happens;
  std::string what_to_do;
  Provenance provenance;
};

/// A slow reaction of a material, and what a maker sees of it.
struct Change {
  std::string id;
  std::string reactant;
  std::string product;
  std::string acid_base_effect;
  std::string quantity;
  std::optional<double> value;
  std::string unit;
  std::optional<double> minimum_ph;
  std::optional<double> maximum_ph;
  std::optional<double> temperature_celsius;
  std::optional<double> activation_energy_kJ_per_mol;
  std::string watch_for;
  Provenance provenance;
};

/// Something that goes wrong at the bench, and how it shows.
struct Mishap {
  std::string id;
  std::string kind;
  double prior_weight = 0;
  std::string how_it_shows;
  std::string cheapest_check;
  Provenance provenance;
};

}  // namespace counterion::tables
