// SPDX-License-Identifier: MIT
#include "json_drift.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace counterion::report {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

template <class Element>
Json list_of(const std::vector<Element>& elements, Json (*one)(const Element&)) {
  Json all = Json::array();
  for (const auto& element : elements) all.push_back(one(element));
  return all;
}

Json stay(const Stay& from) {
  return {{"days", number(from.days)}, {"celsius", number(from.celsius)}};
}

Json point(const DriftPoint& from) {
  return {{"days", number(from.days)},
          {"pH", number(from.ph)},
          {"low_pH", number(from.low)},
          {"high_pH", number(from.high)},
          {"change_pH", number(from.change)},
          {"change_low_pH", number(from.change_low)},
          {"change_high_pH", number(from.change_high)}};
}

Json follow_up(const FollowUp& from) {
  return {{"days", number(from.days)},
          {"pH", number(from.ph)},
          {"low_pH", number(from.low)},
          {"high_pH", number(from.high)}};
}

Json judged(const JudgedReading& from) {
  return {{"days", number(from.days)},
          {"pH", number(from.ph)},
          {"expected_pH", number(from.expected)},
          {"low_pH", number(from.low)},
          {"high_pH", number(from.high)},
          {"surprise", number(from.surprise)},
          {"as_expected", from.as_expected}};
}

Json shelf_time(const ShelfTime& from) {
  return {{"row", from.row_id},
          {"days", number(from.days)},
          {"low_days", number(from.low)},
          {"high_days", number(from.high)}};
}

Json warm_stay(const WarmStay& from) {
  Json json = stay(from.stay);
  json["at_25_celsius"] = list_of(from.at_25_celsius, shelf_time);
  return json;
}

Json partner(const BufferPartner& from) {
  return {{"ingredient", from.ingredient},
          {"name", from.name},
          {"percent", number(from.percent)},
          {"grams", number(from.grams)}};
}

Json buffer(const BufferPair& from) {
  return {{"system", from.system},
          {"possible", from.possible},
          {"why_not", from.why_not.empty() ? Json(nullptr) : Json(from.why_not)},
          {"acid", partner(from.acid)},
          {"base", partner(from.base)},
          {"percent_dry", number(from.percent_dry)},
          {"pH", number(from.ph.ph)}};
}

Json causes(const BatchAnswer& answer) {
  Json all = Json::array();
  for (const auto& from : answer.keeping->drift.causes)
    all.push_back({{"name", answer.check.name_of(from.item)},
                   {"what", from.what},
                   {"watch_for", from.watch_for},
                   {"shift_pH", number(from.shift_ph)},
                   {"share_done", number(from.share_done)},
                   {"half_life_days", number(from.half_life_days)},
                   {"quick", from.quick},
                   {"source", from.source},
                   {"row", from.row_id}});
  return all;
}

Json untimed(const BatchAnswer& answer) {
  Json all = Json::array();
  for (const auto& from : answer.keeping->drift.untimed)
    all.push_back({{"name", answer.check.name_of(from.item)},
                   {"effect", from.effect},
                   {"watch_for", from.watch_for},
                   {"source", from.source},
                   {"row", from.row_id}});
  return all;
}

Json leaving(const std::optional<Leaves>& from) {
  if (!from) return nullptr;
  return {{"middle_days", number(from->middle_days)},
          {"earliest_days", number(from->earliest_days)}};
}

Json kept(const BatchAnswer& answer) {
  const Keeping& keeping = *answer.keeping;
  return {{"storage", list_of(keeping.storage, stay)},
          {"points", list_of(keeping.drift.points, point)},
          {"causes", causes(answer)},
          {"untimed", untimed(answer)},
          {"fall", number(keeping.drift.fall)},
          {"rise", number(keeping.drift.rise)},
          {"acid_mmol_per_kg", number(keeping.drift.acid_mmol_per_kg)},
          {"leaves", leaving(keeping.leaves)},
          {"follow_ups", list_of(keeping.follow_ups, follow_up)},
          {"buffer", keeping.buffers ? list_of(keeping.buffers->pairs, buffer) : Json::array()},
          {"warm_stays", list_of(keeping.warm_stays, warm_stay)},
          {"air_pH", number(keeping.air_ph)}};
}

std::string in_text(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace

std::string json_of_keeping(const BatchAnswer& answer) {
  return in_text(answer.keeping ? kept(answer) : Json(nullptr));
}

std::string json_of_series(const BatchAnswer& answer) {
  return in_text(list_of(answer.series, judged));
}

}  // namespace counterion::report
