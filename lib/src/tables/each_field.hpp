// SPDX-License-Identifier: MIT
// The fields of every row and the tables in one order, for what treats all of them alike: packing and
// unpacking.
#pragma once

#include "content.hpp"

#include <type_traits>

namespace counterion::tables {

template <class R, class Row>
concept RowOf = std::is_same_v<std::remove_cvref_t<R>, Row>;

template <RowOf<Provenance> R, class F>
void each_field(R&& row, F&& f) {
  f(row.source), f(row.locator), f(row.as_printed), f(row.reliability), f(row.note), f(row.row_id);
}
template <RowOf<Source> R, class F>
void each_field(R&& row, F&& f) {
  f(row.key), f(row.kind), f(row.citation), f(row.date_seen);
}
template <RowOf<Ingredient> R, class F>
void each_field(R&& row, F&& f) {
  f(row.id), f(row.inci), f(row.cas), f(row.functions), f(row.phase);
  f(row.use_minimum_percent), f(row.use_maximum_percent), f(row.like);
  each_field(row.provenance, f);
}
template <RowOf<Name> R, class F>
void each_field(R&& row, F&& f) {
  f(row.name), f(row.ingredient), f(row.rank), f(row.source);
}
template <RowOf<ClassMember> R, class F>
void each_field(R&& row, F&& f) {
  f(row.class_name), f(row.ingredient), f(row.source);
}
template <RowOf<Substance> R, class F>
void each_field(R&& row, F&& f) {
  f(row.id), f(row.name), f(row.kind), f(row.molar_mass_g_per_mol), f(row.charge);
  each_field(row.provenance, f);
}
template <RowOf<Constant> R, class F>
void each_field(R&& row, F&& f) {
  f(row.substance), f(row.quantity), f(row.step), f(row.partner), f(row.value), f(row.unit);
  f(row.uncertainty), f(row.dH_kJ_per_mol), f(row.dCp_J_per_mol_K), f(row.temperature_celsius);
  f(row.ionic_strength_mol_per_kg), f(row.rank), f(row.rank_reason);
  each_field(row.provenance, f);
}
template <RowOf<Component> R, class F>
void each_field(R&& row, F&& f) {
  f(row.ingredient), f(row.component), f(row.mass_fraction), f(row.uncertainty);
  each_field(row.provenance, f);
}
template <RowOf<Range> R, class F>
void each_field(R&& row, F&& f) {
  f(row.subject), f(row.kind), f(row.minimum), f(row.ideal_low), f(row.ideal_high);
  f(row.maximum), f(row.at_percent), f(row.condition), f(row.why), f(row.rank), f(row.rank_reason);
  each_field(row.provenance, f);
}
template <RowOf<Level> R, class F>
void each_field(R&& row, F&& f) {
  f(row.subject), f(row.kind), f(row.value), f(row.upper_value), f(row.unit), f(row.market);
  f(row.product), f(row.expressed_as), f(row.condition), f(row.rank), f(row.rank_reason);
  each_field(row.provenance, f);
}
template <RowOf<Caution> R, class F>
void each_field(R&& row, F&& f) {
  f(row.id), f(row.a), f(row.b), f(row.minimum_ph), f(row.maximum_ph), f(row.a_minimum_percent);
  f(row.a_maximum_percent), f(row.product), f(row.severity), f(row.what_happens), f(row.what_to_do);
  each_field(row.provenance, f);
}
template <RowOf<Change> R, class F>
void each_field(R&& row, F&& f) {
  f(row.id), f(row.reactant), f(row.product), f(row.acid_base_effect), f(row.quantity);
  f(row.value), f(row.unit), f(row.minimum_ph), f(row.maximum_ph), f(row.temperature_celsius);
  f(row.activation_energy_kJ_per_mol), f(row.watch_for);
  each_field(row.provenance, f);
}
template <RowOf<Mishap> R, class F>
void each_field(R&& row, F&& f) {
  f(row.id), f(row.kind), f(row.prior_weight), f(row.how_it_shows), f(row.cheapest_check);
  f(row.check), f(row.check_minutes);
  each_field(row.provenance, f);
}

template <RowOf<Titration> R, class F>
void each_field(R&& row, F&& f) {
  f(row.ingredient), f(row.at_percent), f(row.added_meq_per_g), f(row.ph);
  each_field(row.provenance, f);
}
template <RowOf<Meaning> R, class F>
void each_field(R&& row, F&& f) {
  f(row.key), f(row.shown), f(row.ingredient);
}

template <RowOf<Rows> R, class F>
void each_table(R&& rows, F&& f) {
  std::apply([&](auto... members) { (f(rows.*members), ...); }, table_members);
}

/// How many fields a row has.
template <class Row>
std::size_t field_count() {
  std::size_t count = 0;
  each_field(Row(), [&](const auto&) { ++count; });
  return count;
}

}  // namespace counterion::tables
