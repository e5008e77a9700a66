// SPDX-License-Identifier: MIT
#include "columns.hpp"

namespace counterion::tables {
namespace {

constexpr auto required = Need::always;
constexpr auto usual = Need::in_reference;  // a user's own folder may leave it out

/// The columns that end every table of facts: where the figure stands in print.
template <class Row>
std::vector<Column<Row>> with_provenance(std::vector<Column<Row>> columns) {
  const auto part = [](auto member) {
    return [member](Row & row) -> auto& {
      return row.provenance.*member;
    };
  };
  columns.push_back(text_column<Row>("source", part(&Provenance::source), usual));
  columns.push_back(text_column<Row>("locator", part(&Provenance::locator)));
  columns.push_back(text_column<Row>("as_printed", part(&Provenance::as_printed)));
  columns.push_back(word_column<Row>("reliability", part(&Provenance::reliability),
                                     std::vector<std::pair<std::string, Reliability>>{
                                         {"looked-up", Reliability::looked_up},
                                         {"computed", Reliability::computed},
                                         {"common-practice", Reliability::common_practice},
                                         {"memory", Reliability::memory},
                                         {"assumption", Reliability::assumption},
                                         {"own", Reliability::own}},
                                     usual));
  columns.push_back(text_column<Row>("note", part(&Provenance::note)));
  return columns;
}

}  // namespace

std::vector<Column<Source>> source_columns() {
  return {text_column<Source>("key", &Source::key, required),
          text_column<Source>("kind", &Source::kind, required),
          text_column<Source>("citation", &Source::citation, required),
          text_column<Source>("date_seen", &Source::date_seen)};
}

std::vector<Column<Ingredient>> ingredient_columns() {
  using Words = std::vector<std::pair<std::string, Phase>>;
  return with_provenance<Ingredient>(
      {text_column<Ingredient>("id", &Ingredient::id, required),
       text_column<Ingredient>("inci", &Ingredient::inci, required),
       text_column<Ingredient>("cas", &Ingredient::cas),
       list_column<Ingredient>("functions", &Ingredient::functions),
       word_column<Ingredient>(
           "phase", &Ingredient::phase,
           Words{{"water", Phase::water}, {"oil", Phase::oil}, {"either", Phase::either}}, usual),
       optional_number_column<Ingredient>("use_min_percent", &Ingredient::use_minimum_percent),
       optional_number_column<Ingredient>("use_max_percent", &Ingredient::use_maximum_percent),
       text_column<Ingredient>("like", &Ingredient::like, Need::own_only)});
}

std::vector<Column<Name>> name_columns() {
  return {text_column<Name>("name", &Name::name, required),
          text_column<Name>("ingredient", &Name::ingredient, required),
          integer_column<Name>("rank", &Name::rank, usual),
          text_column<Name>("source", &Name::source, usual)};
}

std::vector<Column<ClassMember>> class_columns() {
  return {text_column<ClassMember>("class", &ClassMember::class_name, required),
          text_column<ClassMember>("ingredient", &ClassMember::ingredient, required),
          text_column<ClassMember>("source", &ClassMember::source, usual)};
}

std::vector<Column<Substance>> substance_columns() {
  using Words = std::vector<std::pair<std::string, SubstanceKind>>;
  return with_provenance<Substance>(
      {text_column<Substance>("id", &Substance::id, required),
       text_column<Substance>("name", &Substance::name, required),
       word_column<Substance>("kind", &Substance::kind,
                              Words{{"protolyte", SubstanceKind::protolyte},
                                    {"ion", SubstanceKind::ion},
                                    {"neutral", SubstanceKind::neutral},
                                    {"compound", SubstanceKind::compound},
                                    {"polymer-acid", SubstanceKind::polymer_acid}}),
       number_column<Substance>("molar_mass_g_per_mol", &Substance::molar_mass_g_per_mol),
       integer_column<Substance>("charge", &Substance::charge, required)});
}

std::vector<Column<Constant>> constant_columns() {
  return with_provenance<Constant>(
      {text_column<Constant>("substance", &Constant::substance, required),
       text_column<Constant>("quantity", &Constant::quantity, required),
       integer_column<Constant>("step", &Constant::step, Need::none),
       text_column<Constant>("partner", &Constant::partner),
       number_column<Constant>("value", &Constant::value),
       text_column<Constant>("unit", &Constant::unit),
       optional_number_column<Constant>("uncertainty", &Constant::uncertainty),
       optional_number_column<Constant>("dH_kJ_per_mol", &Constant::dH_kJ_per_mol),
       optional_number_column<Constant>("dCp_J_per_mol_K", &Constant::dCp_J_per_mol_K),
       optional_number_column<Constant>("temperature_celsius", &Constant::temperature_celsius),
       optional_number_column<Constant>("ionic_strength_mol_per_kg",
                                        &Constant::ionic_strength_mol_per_kg),
       integer_column<Constant>("rank", &Constant::rank, usual),
       text_column<Constant>("rank_reason", &Constant::rank_reason)});
}

std::vector<Column<Component>> composition_columns() {
  return with_provenance<Component>(
      {text_column<Component>("ingredient", &Component::ingredient, required),
       text_column<Component>("component", &Component::component, required),
       number_column<Component>("mass_fraction", &Component::mass_fraction),
       optional_number_column<Component>("uncertainty", &Component::uncertainty)});
}

std::vector<Column<Range>> range_columns() {
  return with_provenance<Range>({text_column<Range>("subject", &Range::subject, required),
                                 text_column<Range>("kind", &Range::kind, required),
                                 optional_number_column<Range>("minimum", &Range::minimum),
                                 optional_number_column<Range>("ideal_low", &Range::ideal_low),
                                 optional_number_column<Range>("ideal_high", &Range::ideal_high),
                                 optional_number_column<Range>("maximum", &Range::maximum),
                                 optional_number_column<Range>("at_percent", &Range::at_percent),
                                 text_column<Range>("condition", &Range::condition),
                                 text_column<Range>("why", &Range::why),
                                 integer_column<Range>("rank", &Range::rank, usual),
                                 text_column<Range>("rank_reason", &Range::rank_reason)});
}

std::vector<Column<Level>> level_columns() {
  return with_provenance<Level>({text_column<Level>("subject", &Level::subject, required),
                                 text_column<Level>("kind", &Level::kind, required),
                                 number_column<Level>("value", &Level::value),
                                 optional_number_column<Level>("upper_value", &Level::upper_value),
                                 text_column<Level>("unit", &Level::unit, required),
                                 text_column<Level>("market", &Level::market),
                                 text_column<Level>("product", &Level::product),
                                 text_column<Level>("expressed_as", &Level::expressed_as),
                                 text_column<Level>("condition", &Level::condition),
                                 integer_column<Level>("rank", &Level::rank, usual),
                                 text_column<Level>("rank_reason", &Level::rank_reason)});
}

std::vector<Column<Caution>> caution_columns() {
  using Words = std::vector<std::pair<std::string, Severity>>;
  return with_provenance<Caution>(
      {text_column<Caution>("id", &Caution::id, required),
       text_column<Caution>("a", &Caution::a, required), text_column<Caution>("b", &Caution::b),
       optional_number_column<Caution>("minimum_pH", &Caution::minimum_ph),
       optional_number_column<Caution>("maximum_pH", &Caution::maximum_ph),
       optional_number_column<Caution>("a_minimum_percent", &Caution::a_minimum_percent),
       optional_number_column<Caution>("a_maximum_percent", &Caution::a_maximum_percent),
       text_column<Caution>("product", &Caution::product),
       word_column<Caution>(
           "severity", &Caution::severity,
           Words{
               {"stop", Severity::stop}, {"caution", Severity::caution}, {"note", Severity::note}}),
       text_column<Caution>("what_happens", &Caution::what_happens, required),
       text_column<Caution>("what_to_do", &Caution::what_to_do, required)});
}

std::vector<Column<Change>> change_columns() {
  return with_provenance<Change>(
      {text_column<Change>("id", &Change::id, required),
       text_column<Change>("reactant", &Change::reactant, required),
       text_column<Change>("product", &Change::product),
       text_column<Change>("acid_base_effect", &Change::acid_base_effect),
       text_column<Change>("quantity", &Change::quantity),
       optional_number_column<Change>("value", &Change::value),
       text_column<Change>("unit", &Change::unit),
       optional_number_column<Change>("minimum_pH", &Change::minimum_ph),
       optional_number_column<Change>("maximum_pH", &Change::maximum_ph),
       optional_number_column<Change>("temperature_celsius", &Change::temperature_celsius),
       optional_number_column<Change>("activation_energy_kJ_per_mol",
                                      &Change::activation_energy_kJ_per_mol),
       text_column<Change>("watch_for", &Change::watch_for, required)});
}

std::vector<Column<Mishap>> mishap_columns() {
  return with_provenance<Mishap>(
      {text_column<Mishap>("id", &Mishap::id, required),
       text_column<Mishap>("kind", &Mishap::kind, required),
       number_column<Mishap>("prior_weight", &Mishap::prior_weight),
       text_column<Mishap>("how_it_shows", &Mishap::how_it_shows, required),
       text_column<Mishap>("cheapest_check", &Mishap::cheapest_check),
       text_column<Mishap>("check", &Mishap::check),
       optional_number_column<Mishap>("check_minutes", &Mishap::check_minutes)});
}

std::vector<Column<Titration>> titration_columns() {
  return with_provenance<Titration>(
      {text_column<Titration>("ingredient", &Titration::ingredient, required),
       number_column<Titration>("at_percent", &Titration::at_percent),
       number_column<Titration>("added_meq_per_g", &Titration::added_meq_per_g),
       number_column<Titration>("pH", &Titration::ph)});
}

}  // namespace counterion::tables
