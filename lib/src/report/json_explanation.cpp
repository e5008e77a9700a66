// SPDX-License-Identifier: MIT
#include <counterion/report/explanation.hpp>
#include <counterion/report/json.hpp>

#include <nlohmann/json.hpp>

#include <cmath>
#include <set>

namespace counterion {
namespace {

using Json = nlohmann::ordered_json;

/// Version of this JSON's shape: lib/schemas/explanation.schema.json.
constexpr const char* explanation_schema_version = "1.0";

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}
Json text_or_null(std::string_view text) {
  return text.empty() ? Json(nullptr) : Json(text);
}
Json count_or_null(std::size_t count) {
  return count == 0 ? Json(nullptr) : Json(count);
}

/// Writes one explanation and remembers which sources it cited.
class Writer {
 public:
  explicit Writer(const Explanation& explanation)
      : explanation_(explanation), tables_(explanation.check.tables) {}

  Json write() {
    const Json checked = Json::parse(json_report(explanation_.check, -1));
    Json json;
    json["counterion"] = checked["counterion"];
    json["counterion"]["schema_version"] = explanation_schema_version;
    json["stop"] = explanation_.stop();
    json["formula"] = checked["formula"];
    json["options"] = checked["options"];
    json["prediction"] = prediction();
    json["no_prediction"] = checked["no_prediction"];
    json["readings"] = list(explanation_.readings, &Writer::reading);
    json["set_aside"] = explanation_.set_aside;
    json["measurement"] = measurement();
    json["thought_of"] = explanation_.explained.thought_of;
    json["causes"] = causes();
    json["near_equal"] = explanation_.explained.near_equal;
    json["checks"] = list(explanation_.explained.checks, &Writer::check);
    json["findings"] = list(explanation_.options.findings, &Writer::finding);
    json["mend"] = list(explanation_.mends, &Writer::mend);
    json["withheld"] = text_or_null(explanation_.withheld);
    json["drift"] = change();
    json["lots"] = list(explanation_.lots, &Writer::lot);
    json["log"] = log();
    json["sources"] = sources();
    json["diagnostics"] = checked["diagnostics"];
    return json;
  }

 private:
  template <class Row>
  Json list(const std::vector<Row>& rows, Json (Writer::*one)(const Row&)) {
    Json array = Json::array();
    for (const auto& row : rows) array.push_back((this->*one)(row));
    return array;
  }
  void cite(Json& json, std::string_view source, std::string_view row) {
    json["source"] = text_or_null(source);
    json["row"] = text_or_null(row);
    if (!source.empty()) cited_.insert(std::string(source));
  }

  Json prediction() const {
    if (!explanation_.check.prediction) return nullptr;
    const auto& from = *explanation_.check.prediction;
    return {{"pH", number(from.ph)}, {"p05", number(from.p05)}, {"p95", number(from.p95)}};
  }
  Json reading(const ReadingInLight& reading) {
    return {{"pH", number(reading.ph)},
            {"expected_pH", number(reading.expected)},
            {"low_pH", number(reading.low)},
            {"high_pH", number(reading.high)},
            {"surprise", number(reading.surprise)}};
  }
  Json measurement() {
    if (!explanation_.measurement) return nullptr;
    const auto& from = *explanation_.measurement;
    Json json{{"read_pH", number(from.quality.read_ph)},
              {"corrected_pH", number(from.quality.corrected_ph)},
              {"half_width_pH", number(from.quality.half_ph)},
              {"tools_half_width_pH", number(from.half_of_tools)},
              {"shown_by_a_right_meter_pH", number(from.read)},
              {"expected_pH", number(from.expected)},
              {"low_pH", number(from.low)},
              {"high_pH", number(from.high)},
              {"surprise", number(from.surprise)},
              {"once_in", number(from.once_in)},
              {"by_readings_before", from.by_readings_before},
              {"difference", difference_names[static_cast<std::size_t>(from.difference)]}};
    json["electrode"] = electrode(from.quality.electrode);
    json["effects"] = list(from.quality.effects, &Writer::effect);
    return json;
  }
  static Json electrode(const std::optional<Electrode>& electrode) {
    if (!electrode) return nullptr;
    return {{"slope_percent", number(electrode->slope_percent)},
            {"offset_mV", number(electrode->offset_mV)},
            {"slope_fine", electrode->slope_fine},
            {"offset_fine", electrode->offset_fine}};
  }
  Json effect(const ReadingEffect& effect) {
    Json json{{"what", effect.what},
              {"shift_pH", number(effect.shift_ph)},
              {"half_width_pH", number(effect.half_ph)},
              {"what_to_do", effect.what_to_do}};
    cite(json, effect.source, effect.row_id);
    return json;
  }

  Json causes() {
    Json array = Json::array();
    const auto& all = explanation_.explained.causes;
    for (std::size_t c = 0; c < all.size(); ++c) {
      array.push_back(cause(all[c]));
      array.back()["batch"] =
          c < explanation_.standings.size() ? standing(explanation_.standings[c]) : Json(nullptr);
    }
    return array;
  }
  /// What stands in the place of a line's material, were this the cause.
  static std::string taken_instead(const Cause& from) {
    for (const auto& line : from.likely.lines)
      if (!line.ingredient.empty()) return line.ingredient;
    return {};
  }
  Json cause(const Cause& from) {
    Json items = Json::array();
    for (const std::size_t i : from.hypothesis.items)
      items.push_back(explanation_.check.name_of(i));
    Json json{{"mishap", from.hypothesis.mishap},
              {"kind", from.hypothesis.kind},
              {"items", items},
              {"ingredient", text_or_null(taken_instead(from))},
              {"what", from.hypothesis.what},
              {"probability", number(from.probability)},
              {"pH", number(from.ph)},
              {"check", from.check},
              {"what_to_check", from.what_to_check},
              {"how_it_shows", from.how_it_shows}};
    for (const auto& row : tables_.mishaps())
      if (row.id == from.hypothesis.mishap)
        cite(json, row.provenance.source, row.provenance.row_id);
    return json;
  }
  Json check(const AdvisedCheck& from) {
    Json json{{"check", from.check},
              {"what_to_do", from.what_to_do},
              {"minutes", number(from.minutes)},
              {"bits", number(from.bits)},
              {"sure_after", number(from.sure_after)}};
    json["outcomes"] = list(from.outcomes, &Writer::outcome);
    return json;
  }
  Json outcome(const CheckOutcome& from) {
    Json leading = Json::array();
    for (const auto& [cause, probability] : from.leading)
      leading.push_back({{"cause", cause}, {"probability", number(probability)}});
    return {{"what", from.what},
            {"probability", number(from.probability)},
            {"finding", finding(from.finding)},
            {"leading", leading}};
  }
  Json finding(const Finding& from) {
    return {{"check", from.check},
            {"kind", text_or_null(from.kind)},
            {"item", from.item ? Json(explanation_.check.name_of(*from.item)) : Json(nullptr)},
            {"grams", number(from.grams)}};
  }

  Json standing(const Standing& from) {
    Json cautions = Json::array(), limits = Json::array();
    for (const auto& caution : from.new_cautions) cautions.push_back(this->caution(caution, from));
    for (const auto& limit : from.limits) limits.push_back(this->limit(limit, from));
    return {
        {"pH", number(from.ph)},
        {"in_window", from.in_window},
        {"stop", from.stop},
        {"preservation", preservation_change_names[static_cast<std::size_t>(from.preservation)]},
        {"new_cautions", cautions},
        {"limits", limits}};
  }
  static Json names(const std::vector<std::size_t>& items, const Standing& of) {
    Json array = Json::array();
    for (const std::size_t i : items) array.push_back(of.names.at(i));
    return array;
  }
  Json caution(const FiredCaution& from, const Standing& of) {
    const bool stops = from.severity == tables::Severity::stop;
    Json json{{"id", from.id},
              {"severity", stops ? "stop" : "caution"},
              {"items", names(from.items, of)},
              {"what_happens", from.what_happens},
              {"what_to_do", from.what_to_do}};
    cite(json, from.source, from.row_id);
    return json;
  }
  Json limit(const CheckedLimit& from, const Standing& of) {
    Json json{{"items", names(from.items, of)},
              {"percent", number(from.percent)},
              {"maximum_percent", number(from.maximum_percent)},
              {"market", from.market},
              {"law", from.law}};
    cite(json, from.source, from.row_id);
    return json;
  }

  Json mend(const Mend& from) {
    Json weighings = Json::array();
    double grams = 0;
    for (const auto& one : from.weighings) {
      grams += one.grams;
      weighings.push_back({{"ingredient", text_or_null(one.ingredient)},
                           {"name", one.name},
                           {"grams", number(one.grams)},
                           {"stock_percent", number(one.stock_percent)}});
    }
    const bool dosed = from.action == MendAction::dose && !from.weighings.empty();
    Json json{{"cause", from.cause},
              {"action", mend_action_names[static_cast<std::size_t>(from.action)]},
              {"first", from.first},
              {"grams", from.weighings.empty() ? Json(nullptr) : number(grams)},
              {"adjuster", dosed ? Json(from.weighings.front().ingredient) : Json(nullptr)},
              {"weighings", weighings},
              {"batch_g", number(from.batch_g)},
              {"pH_after", number(from.after.ph)}};
    const Json after = standing(from.after);
    for (const auto* key : {"in_window", "new_cautions", "limits", "preservation"})
      json[key] = after[key];
    json["withheld"] = text_or_null(from.withheld);
    json["why"] = from.why;
    return json;
  }

  Json change() const {
    if (!explanation_.change) return nullptr;
    const auto& from = *explanation_.change;
    return {{"from_days", number(from.from_days)}, {"to_days", number(from.to_days)},
            {"change_pH", number(from.read)},      {"expected_pH", number(from.expected)},
            {"low_pH", number(from.low)},          {"high_pH", number(from.high)},
            {"as_forecast", from.as_forecast}};
  }
  Json lot(const LearnedLot& from) {
    return {{"item", explanation_.check.name_of(from.item)},
            {"ingredient", from.ingredient},
            {"low_meq_per_g", number(from.low)},
            {"middle_meq_per_g", number(from.middle)},
            {"high_meq_per_g", number(from.high)},
            {"share_left", number(from.share_left)},
            {"worth_keeping", from.worth_keeping},
            {"why_not", text_or_null(from.why_not)}};
  }
  static Json place(const Place& place) { return count_or_null(place.line); }
  Json log() const {
    if (!explanation_.options.log) return nullptr;
    const auto& from = *explanation_.options.log;
    Json broken = Json::array(), problems = Json::array();
    for (const auto& line : from.broken)
      broken.push_back({{"line", place(line.place)}, {"text", line.text}});
    for (const auto& problem : from.problems)
      problems.push_back({{"line", place(problem.place)},
                          {"column", count_or_null(problem.place.column)},
                          {"found", problem.found},
                          {"expected", text_or_null(problem.expected)}});
    return {{"file", from.file},
            {"broken", broken},
            {"problems", problems},
            {"left_out", from.left_out}};
  }
  Json sources() const {
    Json json = Json::object();
    for (const auto& key : cited_)
      if (const auto* source = tables_.source(key))
        json[key] = {{"kind", source->kind},
                     {"citation", source->citation},
                     {"date_seen", text_or_null(source->date_seen)}};
    return json;
  }

  const Explanation& explanation_;
  const Tables& tables_;
  std::set<std::string> cited_;
};

}  // namespace

std::string json_report(const Explanation& explanation, int indent) {
  return Writer(explanation).write().dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace counterion
