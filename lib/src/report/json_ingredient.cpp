// SPDX-License-Identifier: MIT
#include <counterion/report/ingredient.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>

namespace counterion {
namespace {

using Json = nlohmann::ordered_json;

Json text(std::string_view value) {
  return value.empty() ? Json(nullptr) : Json(value);
}
Json number(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

/// Puts the columns that end every fact behind the others.
Json with(Json json, const tables::Provenance& row) {
  constexpr std::array words{"looked-up", "computed",   "common-practice",
                             "memory",    "assumption", "own"};
  json["source"] = row.source;
  json["locator"] = text(row.locator);
  json["as_printed"] = text(row.as_printed);
  json["reliability"] = words[static_cast<std::size_t>(row.reliability)];
  json["note"] = text(row.note);
  json["row_id"] = row.row_id;
  return json;
}

Json json_of(const tables::Component& row) {
  return with({{"component", row.component},
               {"mass_fraction", row.mass_fraction},
               {"uncertainty", row.uncertainty}},
              row.provenance);
}
Json json_of(const tables::Constant& row) {
  return with({{"substance", row.substance},
               {"quantity", row.quantity},
               {"step", row.step},
               {"partner", text(row.partner)},
               {"value", row.value},
               {"unit", text(row.unit)},
               {"uncertainty", row.uncertainty},
               {"dH_kJ_per_mol", number(row.dH_kJ_per_mol)},
               {"dCp_J_per_mol_K", number(row.dCp_J_per_mol_K)},
               {"temperature_celsius", number(row.temperature_celsius)},
               {"ionic_strength_mol_per_kg", number(row.ionic_strength_mol_per_kg)},
               {"rank", row.rank},
               {"rank_reason", text(row.rank_reason)}},
              row.provenance);
}
Json json_of(const tables::Range& row) {
  return with({{"kind", row.kind},
               {"minimum", number(row.minimum)},
               {"ideal_low", number(row.ideal_low)},
               {"ideal_high", number(row.ideal_high)},
               {"maximum", number(row.maximum)},
               {"at_percent", number(row.at_percent)},
               {"condition", text(row.condition)},
               {"why", text(row.why)},
               {"rank", row.rank},
               {"rank_reason", text(row.rank_reason)}},
              row.provenance);
}
Json json_of(const tables::Level& row) {
  return with({{"kind", row.kind},
               {"value", row.value},
               {"upper_value", number(row.upper_value)},
               {"unit", row.unit},
               {"market", text(row.market)},
               {"product", text(row.product)},
               {"expressed_as", text(row.expressed_as)},
               {"condition", text(row.condition)},
               {"rank", row.rank},
               {"rank_reason", text(row.rank_reason)}},
              row.provenance);
}
Json json_of(const tables::Caution& row) {
  constexpr std::array words{"note", "caution", "stop"};
  return with({{"id", row.id},
               {"a", row.a},
               {"b", text(row.b)},
               {"minimum_pH", number(row.minimum_ph)},
               {"maximum_pH", number(row.maximum_ph)},
               {"a_minimum_percent", number(row.a_minimum_percent)},
               {"a_maximum_percent", number(row.a_maximum_percent)},
               {"product", text(row.product)},
               {"severity", words[static_cast<std::size_t>(row.severity)]},
               {"what_happens", row.what_happens},
               {"what_to_do", row.what_to_do}},
              row.provenance);
}
Json json_of(const tables::Change& row) {
  return with({{"id", row.id},
               {"product", text(row.product)},
               {"acid_base_effect", text(row.acid_base_effect)},
               {"quantity", text(row.quantity)},
               {"value", number(row.value)},
               {"unit", text(row.unit)},
               {"minimum_pH", number(row.minimum_ph)},
               {"maximum_pH", number(row.maximum_ph)},
               {"temperature_celsius", number(row.temperature_celsius)},
               {"activation_energy_kJ_per_mol", number(row.activation_energy_kJ_per_mol)},
               {"watch_for", row.watch_for}},
              row.provenance);
}

template <class Rows>
Json list(const Rows& rows) {
  Json array = Json::array();
  for (const auto& row : rows) array.push_back(json_of(row));
  return array;
}

Json constants_of(const IngredientFacts& facts) {
  Json array = Json::array();
  std::vector<std::string_view> said;
  for (const auto& part : facts.material.parts)
    for (const auto& piece : part.pieces) {
      const auto id = piece.substance->id;
      if (std::find(said.begin(), said.end(), id) != said.end()) continue;
      said.push_back(id);
      for (const auto& row : facts.tables.constants_of(id)) array.push_back(json_of(row));
    }
  return array;
}

Json cautions_of(const IngredientFacts& facts) {
  Json array = Json::array();
  for (const auto& row : facts.tables.cautions())
    if (facts.tables.covers(row.a, facts.ingredient.id) ||
        (!row.b.empty() && facts.tables.covers(row.b, facts.ingredient.id)))
      array.push_back(json_of(row));
  return array;
}

Json head_of(const IngredientFacts& facts) {
  constexpr std::array phases{"water", "oil", "either"};
  const auto& row = facts.ingredient;
  return with({{"id", row.id},
               {"name", facts.tables.display_name(row.id)},
               {"inci", row.inci},
               {"cas", text(row.cas)},
               {"functions", text(row.functions)},
               {"phase", phases[static_cast<std::size_t>(row.phase)]},
               {"use_min_percent", number(row.use_minimum_percent)},
               {"use_max_percent", number(row.use_maximum_percent)}},
              row.provenance);
}

Json residual_of(const ResidualCharge& residual) {
  return {{"low_meq_per_g", residual.low_mol_per_g * 1000},
          {"middle_meq_per_g", residual.middle_mol_per_g * 1000},
          {"high_meq_per_g", residual.high_mol_per_g * 1000},
          {"basis", text(residual.basis)},
          {"row_id", text(residual.row_id)}};
}

void collect_sources(const Json& json, const Tables& tables, Json& sources) {
  if (json.is_object() && json.contains("row_id") && json.contains("source")) {
    const auto key = json["source"].get<std::string>();
    if (const auto* source = tables.source(key))
      sources[key] = {{"kind", source->kind},
                      {"citation", source->citation},
                      {"date_seen", text(source->date_seen)}};
  }
  if (json.is_structured())
    for (const auto& part : json) collect_sources(part, tables, sources);
}

}  // namespace

std::string json_report(const IngredientFacts& facts, int indent) {
  const auto& tables = facts.tables;
  const auto id = facts.ingredient.id;
  Json json;
  json["counterion"] = {{"version", COUNTERION_VERSION},
                        {"tables_version", tables.version()},
                        {"tables_schema_version", tables.schema_version()},
                        {"tables_sha256", tables.sha256()}};
  json["ingredient"] = head_of(facts);
  json["names"] = tables.names_of(id);
  json["classes"] = tables.classes_of(id);
  json["composition"] = list(tables.composition_of(id));
  json["residual_charge"] = residual_of(facts.material.residual);
  json["constants"] = constants_of(facts);
  json["solutions"] = Json::array();
  for (const auto& solution : facts.solutions)
    json["solutions"].push_back({{"percent", solution.percent},
                                 {"pH", solution.ph},
                                 {"p05", solution.p05},
                                 {"p95", solution.p95},
                                 {"saturated", solution.saturated}});
  json["ranges"] = list(tables.ranges_of(id));
  json["levels"] = list(tables.levels_of(id));
  json["cautions"] = cautions_of(facts);
  json["changes"] = list(tables.changes_of(id));
  Json sources = Json::object();
  collect_sources(json, tables, sources);
  json["sources"] = std::move(sources);
  return json.dump(indent);
}

}  // namespace counterion
