// SPDX-License-Identifier: MIT
#include <counterion/report/batch.hpp>
#include <counterion/report/json.hpp>

#include "json_drift.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace counterion {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json learned_value(const Learned& learned) {
  return {{"value", number(learned.value)},
          {"low", number(learned.low)},
          {"high", number(learned.high)}};
}

Json learned(const BatchAnswer& answer) {
  const Calibration& from = answer.learned;
  if (from.readings.empty()) return nullptr;
  Json readings = Json::array(), slips = Json::array();
  for (const auto& reading : from.readings)
    readings.push_back({{"pH", number(reading.ph)},
                        {"expected_pH", number(reading.expected)},
                        {"low_pH", number(reading.low)},
                        {"high_pH", number(reading.high)},
                        {"surprise", number(reading.surprise)}});
  for (const auto& slip : from.slips)
    slips.push_back({{"name", answer.check.name_of(slip.item)},
                     {"slip", slip.doubled ? "doubled" : "left-out"},
                     {"pH", number(slip.ph)}});
  return {{"readings", readings},
          {"unexplained_meq_per_kg", learned_value(from.unexplained_meq_per_kg)},
          {"extra_buffer_mmol_per_kg", learned_value(from.extra_buffer_mmol_per_kg)},
          {"beyond_tables", from.beyond_tables},
          {"slips", slips}};
}

Json distribution(const std::optional<SampledPH>& sampled) {
  if (!sampled) return nullptr;
  return {{"draws", sampled->draws.size()},         {"p05", number(sampled->quantile(0.05))},
          {"p25", number(sampled->quantile(0.25))}, {"p50", number(sampled->quantile(0.5))},
          {"p75", number(sampled->quantile(0.75))}, {"p95", number(sampled->quantile(0.95))}};
}

Json measurements(const BatchAnswer& answer) {
  Json all = Json::array();
  for (const auto& one : answer.measurements)
    all.push_back(
        {{"what", one.what}, {"how", one.how}, {"p05", number(one.p05)}, {"p95", number(one.p95)}});
  return all;
}

Json weighable(const Weighable& scale) {
  return {{"step_pH", number(scale.step_ph)},
          {"too_coarse", scale.too_coarse},
          {"dilute_to_percent",
           scale.dilute_to_percent ? number(*scale.dilute_to_percent) : Json(nullptr)}};
}

Json plan(const BatchAnswer& answer) {
  if (!answer.plan || !answer.chosen) return nullptr;
  const Plan& from = *answer.plan;
  Json additions = Json::array();
  for (const auto& step : from.additions)
    additions.push_back({{"grams", number(step.grams)},
                         {"expected_pH", number(step.expected_ph)},
                         {"low_pH", number(step.ph_low)},
                         {"high_pH", number(step.ph_high)}});
  const Adjustment& one = answer.check.adjustments[*answer.chosen];
  return {{"adjuster", from.adjuster.ingredient},
          {"stock_percent", number(from.adjuster.stock_percent)},
          {"target_pH", number(from.target)},
          {"tolerance_pH", number(from.tolerance)},
          {"done", from.done},
          {"chance_inside", number(from.chance_inside)},
          {"beyond_target", from.beyond},
          {"too_fine_for_scale", from.too_fine},
          {"additions", additions},
          {"scale", weighable(one.weighable)},
          {"ionic_strength_after", number(one.ionic_strength_after)}};
}

Json undo(const BatchAnswer& answer) {
  if (!answer.undo) return nullptr;
  const Undo& from = *answer.undo;
  return {{"pH", number(from.ph)},
          {"adjuster",
           from.adjuster.ingredient.empty() ? Json(nullptr) : Json(from.adjuster.ingredient)},
          {"grams", from.grams ? number(*from.grams) : Json(nullptr)},
          {"ionic_strength_after", number(from.ionic_strength_after)},
          {"salt_percent", number(from.salt_percent)},
          {"remake", from.remake},
          {"why", from.why}};
}

Json curve(const BatchAnswer& answer) {
  Json all = Json::array();
  for (const auto& step : answer.curve)
    all.push_back({{"grams", number(step.grams)},
                   {"pH", number(step.ph)},
                   {"low_pH", number(step.low)},
                   {"high_pH", number(step.high)}});
  return all;
}

Json work(const BatchAnswer& answer) {
  Json all = Json::array();
  for (const auto& step : answer.work)
    all.push_back({{"what", step.what},
                   {"why", step.why},
                   {"source", step.row_id.empty() ? Json(nullptr) : Json(step.source)},
                   {"row", step.row_id.empty() ? Json(nullptr) : Json(step.row_id)}});
  return all;
}

Json partner(const BufferPartner& from) {
  return {{"ingredient", from.ingredient},
          {"name", from.name},
          {"percent", number(from.percent)},
          {"grams", number(from.grams)}};
}

Json buffers(const BatchAnswer& answer) {
  if (!answer.buffers) return nullptr;
  Json pairs = Json::array();
  for (const auto& pair : answer.buffers->pairs)
    pairs.push_back({{"system", pair.system},
                     {"possible", pair.possible},
                     {"why_not", pair.why_not.empty() ? Json(nullptr) : Json(pair.why_not)},
                     {"acid", partner(pair.acid)},
                     {"base", partner(pair.base)},
                     {"percent_dry", number(pair.percent_dry)},
                     {"pH", number(pair.ph.ph)},
                     {"buffer_capacity", number(pair.buffer_capacity)},
                     {"ionic_strength", number(pair.ionic_strength)},
                     {"clashes", number(pair.clashes)},
                     {"thinning", number(pair.thinning)}});
  return {{"holds_already", answer.buffers->holds_already},
          {"holds_once_there", answer.buffers->holds_once_there},
          {"pairs", pairs}};
}

Json release(const BatchAnswer& answer) {
  if (!answer.release) return nullptr;
  return {{"low_pH", number(answer.release->low)}, {"high_pH", number(answer.release->high)}};
}

void add_source(const std::string& key, const Tables& tables, Json& sources) {
  const auto* source = tables.source(key);
  if (source && !sources.contains(key))
    sources[key] = {
        {"kind", source->kind},
        {"citation", source->citation},
        {"date_seen", source->date_seen.empty() ? Json(nullptr) : Json(source->date_seen)}};
}

/// The sources that the order of work and the forecast cite, among those of the rest.
void add_sources(const BatchAnswer& answer, Json& sources) {
  const Tables& tables = answer.check.tables;
  for (const auto& step : answer.work)
    if (!step.row_id.empty()) add_source(step.source, tables, sources);
  if (!answer.keeping) return;
  for (const auto& cause : answer.keeping->drift.causes) add_source(cause.source, tables, sources);
  for (const auto& one : answer.keeping->drift.untimed) add_source(one.source, tables, sources);
}

}  // namespace

std::string json_report(const BatchAnswer& answer, int indent) {
  Json json = Json::parse(json_report(answer.check, -1));
  json["learned"] = learned(answer);
  json["distribution"] = distribution(answer.sampled);
  json["chance_in_window"] = answer.sampled ? number(answer.chance_in_window) : Json(nullptr);
  json["measurements"] = measurements(answer);
  json["plan"] = plan(answer);
  json["curve"] = curve(answer);
  json["undo"] = undo(answer);
  json["release"] = release(answer);
  json["order_of_work"] = work(answer);
  json["buffers"] = buffers(answer);
  json["drift"] = Json::parse(report::json_of_keeping(answer));
  json["series"] = Json::parse(report::json_of_series(answer));
  add_sources(answer, json["sources"]);
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace counterion
