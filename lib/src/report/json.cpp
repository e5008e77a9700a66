// SPDX-License-Identifier: MIT
#include <counterion/report/json.hpp>

#include "facts.hpp"

#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <set>

namespace counterion {
namespace {

using Json = nlohmann::ordered_json;

/// Version of this JSON's shape: lib/schemas/check.schema.json.
constexpr const char* json_schema_version = "1.3";

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }
Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }
Json count_or_null(std::size_t count) { return count == 0 ? Json(nullptr) : Json(count); }

constexpr std::array<const char*, 4> holding_names{"there", "until-adjusted", "possibly", "elsewhere-in-window"};

const char* word(tables::Severity severity) {
  switch (severity) {
    case tables::Severity::stop: return "stop";
    case tables::Severity::caution: return "caution";
    case tables::Severity::note: break;
  }
  return "note";
}

/// Writes one answer and remembers which sources it cited.
class Writer {
 public:
  explicit Writer(const CheckResult& result) : result_(result) {}

  Json write() {
    Json json;
    json["counterion"] = versions();
    json["stop"] = result_.stop();
    json["formula"] = formula();
    json["options"] = options();
    json["window"] = window();
    json["conflicts"] = conflicts();
    json["least_removal"] = least_removal();
    json["least_removal_window"] = least_removal_window();
    json["ways_out"] = list(result_.window.removals, &Writer::way_out);
    json["remedies"] = list(result_.remedies, &Writer::remedy);
    json["target_pH"] = number(result_.target);
    json["prediction"] = prediction();
    json["no_prediction"] = text_or_null(result_.no_prediction);
    json["preservation"] = list(result_.preservation.acids, &Writer::preservative);
    json["preservation_system"] = preservation_system();
    json["electrolyte"] = electrolyte();
    json["cautions"] = list(result_.cautions, &Writer::caution);
    json["limits"] = list(result_.limits, &Writer::limit);
    json["adjustment_needed"] = result_.adjustment_needed;
    json["adjustment"] = list(result_.adjustments, &Writer::adjustment);
    json["not_judged"] = list(result_.not_judged, &Writer::not_judged);
    json["questions"] = list(result_.questions, &Writer::question);
    json["sources"] = sources();
    json["diagnostics"] = list(result_.formula.diagnostics, &Writer::diagnostic);
    return json;
  }

 private:
  template <class Row>
  Json list(const std::vector<Row>& rows, Json (Writer::*one)(const Row&)) {
    Json array = Json::array();
    for (const auto& row : rows) array.push_back((this->*one)(row));
    return array;
  }
  Json names(const std::vector<std::size_t>& items) const {
    Json array = Json::array();
    for (const std::size_t i : items) array.push_back(result_.name_of(i));
    return array;
  }
  Json name(const std::optional<std::size_t>& item) const {
    return item ? Json(result_.name_of(*item)) : Json(nullptr);
  }
  void cite(Json& json, const std::string& source, const std::string& row) {
    json["source"] = text_or_null(source);
    json["row"] = text_or_null(row);
    if (!source.empty()) cited_.insert(source);
  }

  Json versions() const {
    const Tables& tables = result_.tables;
    return {{"version", COUNTERION_VERSION},
            {"schema_version", json_schema_version},
            {"tables_version", tables.version()},
            {"tables_schema_version", tables.schema_version()},
            {"tables_sha256", tables.sha256()}};
  }
  Json formula() {
    const Formula& formula = result_.formula;
    Json json{{"name", formula.name},
              {"type", text_or_null(formula.product_type)},
              {"use", text_or_null(formula.use)},
              {"batch_g", number(formula.batch_g)},
              {"batch_stated", formula.batch_stated},
              {"total_percent", number(formula.total_percent)}};
    json["items"] = list(formula.items, &Writer::item);
    return json;
  }
  Json item(const FormulaItem& item) {
    return {{"line", count_or_null(item.place.line)},
            {"written", item.written},
            {"ingredient", text_or_null(item.ingredient)},
            {"name", item.listed() ? result_.tables.display_name(item.ingredient) : item.written},
            {"percent", number(item.percent)},
            {"to_100", item.fills_to_100},
            {"phase", text_or_null(item.phase)},
            {"note", text_or_null(item.note)},
            {"strength_percent", number(item.strength_percent)},
            {"declared_pH_low", number(item.declared_ph_low)},
            {"declared_pH_high", number(item.declared_ph_high)},
            {"declared_at_percent", number(item.declared_at_percent)}};
  }
  Json options() const {
    const CheckOptions& options = result_.options;
    return {{"temperature_celsius", number(in_celsius(options.temperature))},
            {"activity", activity_names[static_cast<std::size_t>(options.activity)]},
            {"target_pH", options.target ? number(options.target->value()) : Json(nullptr)},
            {"jurisdiction", text_or_null(options.jurisdiction)},
            {"adjusters", options.adjusters},
            {"meter_pH", number(options.meter_ph)},
            {"remedies", options.remedies},
            {"without", options.without},
            {"keep", options.keep}};
  }

  Json window() {
    const Window& window = result_.window;
    const auto if_feasible = [&](double ph) { return window.feasible ? number(ph) : Json(nullptr); };
    Json json{{"low", if_feasible(window.low)},
              {"high", if_feasible(window.high)},
              {"feasible", window.feasible},
              {"target", number(window.target)},
              {"applies", result_.prediction.has_value()},
              {"firm", span(window.firm)},
              {"widest", span(window.widest)},
              {"margin", {{"meter_pH", number(window.margin.meter)},
                          {"dosing_pH", number(window.margin.dosing)},
                          {"drift_pH", number(window.margin.drift)},
                          {"fall_pH", number(window.margin.fall)},
                          {"rise_pH", number(window.margin.rise)}}}};
    json["low_bound_by"] = edges(window.low_bound_by, true);
    json["high_bound_by"] = edges(window.high_bound_by, false);
    json["next_low_bound_by"] = edges(window.next_low, true);
    json["next_high_bound_by"] = edges(window.next_high, false);
    json["ranges"] = list(window.ranges, &Writer::range);
    return json;
  }
  static Json span(const std::optional<Interval>& interval) {
    if (!interval) return nullptr;
    return {{"low", number(interval->low)}, {"high", number(interval->high)}};
  }
  Json edges(const std::vector<std::size_t>& indices, bool low) {
    Json array = Json::array();
    for (const std::size_t i : indices) {
      const WorkingRange& range = result_.window.ranges[i];
      array.push_back(edge(range, low ? range.minimum : range.maximum));
    }
    return array;
  }
  Json edge(const WorkingRange& range, const std::optional<double>& ph) {
    Json json{{"name", range.name}, {"kind", range.kind}, {"pH", number(ph)}, {"why", range.why}};
    cite(json, range.source, range.row_id);
    return json;
  }
  Json range(const WorkingRange& range) {
    Json json{{"name", range.name},
              {"kind", range.kind},
              {"hard", range.hard},
              {"minimum", number(range.minimum)},
              {"ideal_low", number(range.ideal_low)},
              {"ideal_high", number(range.ideal_high)},
              {"maximum", number(range.maximum)},
              {"why", range.why},
              {"condition", text_or_null(range.condition)}};
    cite(json, range.source, range.row_id);
    json["others"] = list(range.others, &Writer::other_bounds);
    return json;
  }
  Json other_bounds(const OtherBounds& other) {
    Json json{{"minimum", number(other.minimum)},
              {"maximum", number(other.maximum)},
              {"condition", text_or_null(other.condition)}};
    cite(json, other.source, other.row_id);
    return json;
  }
  Json conflicts() {
    Json array = Json::array();
    for (const auto& conflict : result_.window.conflicts) {
      const auto& a = result_.window.ranges[conflict.a];
      const auto& b = result_.window.ranges[conflict.b];
      array.push_back({{"a", edge(a, a.maximum)}, {"b", edge(b, b.minimum)},
                       {"gap", number(conflict.gap)}, {"remedies", report::remedies_of(conflict, result_)}});
    }
    return array;
  }
  Json way_out(const Removal& removal) {
    Json json{{"low", number(removal.low)}, {"high", number(removal.high)}, {"weight", number(removal.weight)}};
    json["left_out"] = Json::array();
    for (const std::size_t i : removal.left_out) json["left_out"].push_back(result_.window.ranges[i].name);
    return json;
  }
  Json remedy(const Remedy& remedy) {
    Json json{{"cost", number(remedy.cost)}};
    json["changes"] = list(remedy.changes, &Writer::change);
    json["products"] = list(remedy.products, &Writer::outcome);
    json["afterwards"] = remedy_caveat;
    return json;
  }
  Json change(const Change& change) {
    return {{"kind", change_kind_names[static_cast<std::size_t>(change.kind)]},
            {"names", change.names},
            {"percent_before", number(change.percent_before)},
            {"ingredient", text_or_null(change.ingredient)},
            {"name", text_or_null(change.name)},
            {"percent_after", number(change.percent_after)}};
  }
  Json outcome(const RemedyOutcome& outcome) {
    const auto if_wet = [&](double ph) { return outcome.ph ? number(ph) : Json(nullptr); };
    Json json{{"pH", number(outcome.ph)},        {"p05", number(outcome.p05)},
              {"p95", number(outcome.p95)},      {"low", if_wet(outcome.low)},
              {"high", if_wet(outcome.high)},    {"target_pH", number(outcome.target)},
              {"adjustment_needed", outcome.adjustment_needed}, {"adjuster", text_or_null(outcome.adjuster)}};
    json["items"] = list(outcome.formula.items, &Writer::line_of_remedy);
    return json;
  }
  Json line_of_remedy(const FormulaItem& item) {
    return {{"ingredient", text_or_null(item.ingredient)},
            {"name", item.listed() ? result_.tables.display_name(item.ingredient) : item.written},
            {"percent", number(item.percent)}};
  }
  Json least_removal() {
    Json array = Json::array();
    for (const std::size_t i : result_.window.least_removal().left_out)
      array.push_back(range(result_.window.ranges[i]));
    return array;
  }
  Json least_removal_window() const {
    if (result_.window.feasible) return nullptr;
    const Removal least = result_.window.least_removal();
    return {{"low", number(least.low)}, {"high", number(least.high)}};
  }

  Json prediction() {
    if (!result_.prediction) return nullptr;
    const Prediction& prediction = *result_.prediction;
    Json json{{"pH", number(prediction.ph)},
              {"p05", number(prediction.p05)},
              {"p95", number(prediction.p95)},
              {"buffer_capacity", number(prediction.buffer_capacity)},
              {"ionic_strength", number(prediction.ionic_strength)},
              {"activity_within_range", prediction.activity_within_range},
              {"validity", text_or_null(prediction.validity)},
              {"water_percent", number(prediction.water_percent)}};
    json["contributions"] = contributions(prediction);
    json["drivers"] = list(prediction.drivers, &Writer::driver);
    json["saturated"] = list(prediction.saturated, &Writer::saturated);
    json["polymers"] = list(result_.polymers, &Writer::polymer);
    return json;
  }
  Json contributions(const Prediction& prediction) const {
    Json array = Json::array();
    for (std::size_t i = 0; i < prediction.charge_meq_per_kg.size(); ++i)
      array.push_back({{"name", result_.name_of(i)},
                       {"charge_meq_per_kg", number(prediction.charge_meq_per_kg[i])}});
    return array;
  }
  Json driver(const DriverEffect& driver) {
    Json json{{"name", name(driver.item)},
              {"what", driver.what},
              {"pH_low", number(driver.ph_low)},
              {"pH_high", number(driver.ph_high)}};
    cite(json, driver.source, driver.row_id);
    return json;
  }

  Json saturated(const Saturated& substance) {
    return {{"substance", substance.name},
            {"percent_out", number(substance.percent_out)},
            {"percent_held", number(substance.percent_held)}};
  }
  Json polymer(const NeutralisedPolymer& polymer) {
    return {{"substance", polymer.name},
            {"neutralised_at_predicted", number(polymer.at_predicted)},
            {"neutralised_at_target", number(polymer.at_target)}};
  }

  Json preservative(const PreservativeState& state) {
    Json json{{"name", report::joined_names(result_, state.items)},
              {"names", names(state.items)},
              {"acid", state.acid_name},
              {"percent_as_acid", number(state.percent_as_acid)},
              {"undissociated_share_at_predicted", number(state.share_at_predicted)},
              {"undissociated_share_at_target", number(state.share_at_target)},
              {"share_in_oil_and_micelles", number(state.share_held)},
              {"active_percent_of_water_at_predicted", number(state.active_at_predicted)},
              {"active_percent_of_water_at_target", number(state.active_at_target)},
              {"least_active_percent_of_water", number(state.least_active)},
              {"least_active_upper", number(state.least_active_upper)},
              {"highest_pH", number(state.highest_ph)},
              {"firm_highest_pH", number(state.firm_highest_ph)},
              {"percent_not_dissolved", number(state.percent_out)},
              {"unknown_losses", state.unknown_losses},
              {"condition", text_or_null(state.condition)}};
    cite(json, state.source, state.row_id);
    json["curve"] = list(state.curve, &Writer::point);
    return json;
  }
  Json point(const ActiveAt& point) {
    return {{"pH", number(point.ph)}, {"active_percent_of_water", number(point.percent)}};
  }
  Json preservation_system() {
    const Preservation& system = result_.preservation;
    Json json{{"fraction_at_predicted", number(system.combined_at_predicted)},
              {"fraction_at_target", number(system.combined_at_target)},
              {"highest_pH", number(system.combined_highest_ph)},
              {"water_activity", number(system.water_activity)},
              {"spectrum_known", system.spectrum_known}};
    json["others"] = list(system.others, &Writer::dosed);
    json["spectrum"] = list(system.spectrum, &Writer::coverage);
    json["lower_risk"] = list(system.lower_risk, &Writer::lower_risk);
    json["inactivators"] = report::weakening(result_);
    json["decides"] = "a challenge test (ISO 11930) and a qualified assessor";
    return json;
  }
  Json dosed(const DosedPreservative& one) {
    Json json{{"name", result_.name_of(one.item)},
              {"percent", number(one.percent)},
              {"usual_low_percent", number(one.usual_low)},
              {"usual_high_percent", number(one.usual_high)},
              {"in_usual_dose", one.enough()}};
    cite(json, one.source, one.row_id);
    return json;
  }
  Json coverage(const Coverage& coverage) {
    return {{"group", coverage.group}, {"names", names(coverage.items)}};
  }
  Json lower_risk(const LowerRisk& risk) {
    Json json{{"what", risk.what}};
    cite(json, risk.source, risk.row_id);
    return json;
  }
  Json electrolyte() {
    if (!result_.electrolyte) return nullptr;
    const Electrolyte& salts = *result_.electrolyte;
    Json json{{"load_mol_per_kg", number(salts.load)}};
    json["thickeners"] = list(salts.thickeners, &Writer::thickener);
    json["anionic"] = names(salts.anionic);
    json["cationic"] = names(salts.cationic);
    json["opposite_charges_meet"] = salts.opposite_charges_meet();
    return json;
  }
  Json thickener(const ThickenerState& state) {
    Json json{{"name", result_.name_of(state.item)},
              {"starts_to_thin_mol_per_kg", number(state.starts)},
              {"thin_mol_per_kg", number(state.complete)},
              {"thins", result_.electrolyte->thins(state)},
              {"condition", text_or_null(state.condition)}};
    cite(json, state.source, state.row_id);
    return json;
  }
  Json caution(const FiredCaution& caution) {
    Json json{{"id", caution.id},
              {"severity", word(caution.severity)},
              {"names", names(caution.items)},
              {"before_adjusting_only", caution.holding == Holding::until_adjusted},
              {"holds", holding_names[static_cast<std::size_t>(caution.holding)]},
              {"minimum_pH", number(caution.minimum_ph)},
              {"maximum_pH", number(caution.maximum_ph)},
              {"what_happens", caution.what_happens},
              {"what_to_do", text_or_null(caution.what_to_do)}};
    cite(json, caution.source, caution.row_id);
    return json;
  }
  Json limit(const CheckedLimit& limit) {
    Json json{{"names", names(limit.items)},
              {"percent", number(limit.percent)},
              {"maximum_percent", number(limit.maximum_percent)},
              {"expressed_as", text_or_null(limit.expressed_as)},
              {"market", limit.market},
              {"product", text_or_null(limit.product)},
              {"condition", text_or_null(limit.condition)},
              {"exceeded", limit.exceeded},
              {"law", limit.law},
              {"date_seen", text_or_null(limit.date_seen)}};
    cite(json, limit.source, limit.row_id);
    return json;
  }

  Json adjustment(const Adjustment& adjustment) {
    const bool weighable = report::weighable(adjustment);
    const auto grams = [&](const auto& value) { return weighable ? number(value) : Json(nullptr); };
    Json json{{"adjuster", adjustment.adjuster.ingredient},
              {"name", adjustment.name},
              {"stock_percent", number(adjustment.adjuster.stock_percent)},
              {"target_pH", number(adjustment.target)},
              {"possible", adjustment.possible},
              {"grams", grams(adjustment.grams)},
              {"grams_low", grams(adjustment.grams_low)},
              {"grams_high", grams(adjustment.grams_high)},
              {"percent", grams(adjustment.percent)},
              {"percent_of_ingredient", grams(adjustment.percent_of_ingredient)},
              {"from_water", weighable ? Json(adjustment.from_water) : Json(nullptr)},
              {"pH_after", grams(adjustment.ph_after)},
              {"ionic_strength_after", grams(adjustment.ionic_strength_after)},
              {"scale_step_pH", grams(adjustment.weighable.step_ph)},
              {"dilute_to_percent", grams(adjustment.weighable.dilute_to_percent)},
              {"reachable_end_pH", number(adjustment.reachable_end)},
              {"withheld", text_or_null(adjustment.withheld)},
              {"why_not", text_or_null(adjustment.why_not)}};
    json["thinned"] = thinned(adjustment);
    json["stages"] = list(adjustment.stages, &Writer::stage);
    json["cautions"] = Json::array();
    for (const auto& caution : adjustment.cautions) json["cautions"].push_back(brought(caution));
    json["limits"] = Json::array();
    for (const auto& limit : adjustment.limits) json["limits"].push_back(surpassed(limit, adjustment));
    const auto* stock = report::stock_row(adjustment.adjuster.ingredient, result_.tables);
    cite(json, std::string(stock ? stock->provenance.source : std::string_view()),
         std::string(stock ? stock->provenance.row_id : std::string_view()));
    return json;
  }
  /// Thickeners that the salt after it thins.
  Json thinned(const Adjustment& adjustment) {
    Json names = Json::array();
    for (const auto& state : adjustment.electrolyte_after.thickeners)
      if (adjustment.electrolyte_after.thins(state)) names.push_back(result_.name_of(state.item));
    return names;
  }
  Json stage(const Stage& stage) {
    return {{"grams", number(stage.grams)}, {"expected_pH", number(stage.expected_ph)}};
  }
  /// Its items are lines of the adjusted formula, which the answer does not hold: no names.
  Json brought(const FiredCaution& caution) {
    Json json{{"id", caution.id},
              {"severity", word(caution.severity)},
              {"what_happens", caution.what_happens},
              {"what_to_do", text_or_null(caution.what_to_do)}};
    cite(json, caution.source, caution.row_id);
    return json;
  }
  Json surpassed(const CheckedLimit& limit, const Adjustment& adjustment) {
    CheckedLimit without_items = limit;
    without_items.items.clear();
    Json json = this->limit(without_items);
    json["names"].push_back(adjustment.name);
    return json;
  }

  Json not_judged(const NotJudged& silent) { return {{"what", silent.what}, {"why", silent.why}}; }
  Json diagnostic(const Diagnostic& diagnostic) {
    return {{"file", text_or_null(diagnostic.place.file)},
            {"line", count_or_null(diagnostic.place.line)},
            {"column", count_or_null(diagnostic.place.column)},
            {"message", diagnostic.message}};
  }
  Json question(const Question& question) {
    const auto& item = result_.formula.items[question.items.front()];
    Json json{{"line", count_or_null(item.place.line)},
              {"written", item.written},
              {"spread_pH", number(question.spread())}};
    json["choices"] = Json::array();
    for (const auto& choice : question.choices)
      json["choices"].push_back(
          {{"ingredient", choice.ingredient}, {"name", choice.name}, {"pH", number(choice.ph)}});
    return json;
  }
  Json sources() const {
    Json json = Json::object();
    for (const auto& key : cited_)
      if (const auto* source = result_.tables.source(key))
        json[key] = {{"kind", source->kind},
                     {"citation", source->citation},
                     {"date_seen", text_or_null(std::string(source->date_seen))}};
    return json;
  }

  const CheckResult& result_;
  std::set<std::string> cited_;
};

}  // namespace

std::string json_report(const CheckResult& result, int indent) {
  return Writer(result).write().dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace counterion
