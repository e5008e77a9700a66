// SPDX-License-Identifier: MIT
// What a maker should be told of a formula: scenarios of the trade, each with its source.
#include "../table_rows.hpp"
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <set>

using namespace counterion;

namespace {

const Tables& known() { return Tables::built_in(); }

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  return first == std::string::npos ? std::string() : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

/// Text before and after the first mark.
std::pair<std::string, std::string> cut(const std::string& text, const std::string& mark) {
  const auto at = text.find(mark);
  if (at == std::string::npos) return {text, {}};
  return {trimmed(text.substr(0, at)), trimmed(text.substr(at + mark.size()))};
}

struct Span {
  double low, high;
  explicit Span(const std::string& text) {
    const auto [from, to] = cut(text, "..");
    low = std::stod(from), high = std::stod(to);
  }
  bool holds(double value) const { return low <= value && value <= high; }
};

/// One scenario and the answer to it.
class Scenario {
 public:
  explicit Scenario(const test::Row& row) : result_(check(formula_of(row), known(), options_of(row))) {}

  bool meets(const std::string& token) const {
    const auto [word, rest] = cut(token, " ");
    if (word == "stop" && !rest.empty()) return fired(rest) && fired(rest)->severity == tables::Severity::stop;
    if (const auto found = plain().find(word); found != plain().end()) return found->second(*this);
    if (const auto found = asking().find(word); found != asking().end()) return found->second(*this, rest);
    return edge(token);
  }

 private:
  static Formula formula_of(const test::Row& row) {
    const auto items = samples::items_of(row.text("formula"));
    for (const auto& [id, percent] : items) REQUIRE_MESSAGE(known().ingredient(id), id);
    return samples::formula_of(items, row.text("type"), row.text("use"));
  }
  static CheckOptions options_of(const test::Row& row) {
    CheckOptions options;
    options.jurisdiction = row.text("market");
    return options;
  }

  using Plain = std::map<std::string, bool (*)(const Scenario&)>;
  static const Plain& plain() {
    static const Plain words{
        {"stop", [](const Scenario& s) { return s.result_.stop(); }},
        {"no-stop", [](const Scenario& s) { return !s.result_.stop(); }},
        {"window", [](const Scenario& s) { return s.result_.prediction && s.result_.window.feasible; }},
        {"no-window", [](const Scenario& s) { return !s.result_.prediction || !s.result_.window.feasible; }},
        {"opposite-charges", [](const Scenario& s) { return s.result_.electrolyte->opposite_charges_meet(); }},
        {"no-grams", [](const Scenario& s) { return s.no_grams(); }},
        {"quiet", [](const Scenario& s) { return s.quiet(); }},
    };
    return words;
  }
  using Asking = std::map<std::string, bool (*)(const Scenario&, const std::string&)>;
  static const Asking& asking() {
    static const Asking words{
        {"caution", [](const Scenario& s, const std::string& id) { return s.fired(id) != nullptr; }},
        {"silent", [](const Scenario& s, const std::string& id) { return !s.fired(id); }},
        {"over", [](const Scenario& s, const std::string& market) { return s.over(market); }},
        {"within", [](const Scenario& s, const std::string& market) { return !s.over(market); }},
        {"conflict", [](const Scenario& s, const std::string& pair) { return s.conflict(pair); }},
        {"share", [](const Scenario& s, const std::string& share) { return s.share(share); }},
        {"ph", [](const Scenario& s, const std::string& span) { return Span(span).holds(s.result_.prediction->ph); }},
        {"crystals", [](const Scenario& s, const std::string& acid) { return s.crystals(acid); }},
        {"thins", [](const Scenario& s, const std::string& id) { return s.thins(id); }},
        {"too-little", [](const Scenario& s, const std::string& acid) { return s.too_little(acid); }},
        {"gap", [](const Scenario& s, const std::string& group) { return s.gap(group); }},
        {"remedy", [](const Scenario& s, const std::string& kind) { return s.remedy(kind); }},
        {"never", [](const Scenario& s, const std::string& subject) { return !s.brings_in(subject); }},
        {"kept", [](const Scenario& s, const std::string& id) { return !s.leaves_out(id); }},
        {"not-judged", [](const Scenario& s, const std::string& text) { return s.not_judged(text); }},
    };
    return words;
  }

  bool edge(const std::string& token) const {
    const bool at_most = token.find("<=") != token.npos;
    const auto [side, figure] = cut(token, at_most ? "<=" : ">=");
    REQUIRE_MESSAGE((side == "low" || side == "high"), token);
    const double ph = side == "low" ? result_.window.low : result_.window.high;
    return at_most ? ph <= std::stod(figure) : ph >= std::stod(figure);
  }
  const FiredCaution* fired(const std::string& id) const {
    const auto found = std::ranges::find_if(result_.cautions, [&](const FiredCaution& one) {
      return one.id == id && one.holding != Holding::elsewhere;
    });
    return found == result_.cautions.end() ? nullptr : &*found;
  }
  bool over(const std::string& market) const {
    return std::ranges::any_of(result_.limits, [&](const CheckedLimit& l) { return l.law && l.exceeded && l.market == market; });
  }
  bool is_about(const WorkingRange& range, const std::string& id) const {
    if (id == "product") return range.items.empty();
    return std::ranges::any_of(range.items, [&](std::size_t i) { return result_.formula.items[i].ingredient == id; });
  }
  bool conflict(const std::string& pair) const {
    const auto [a, b] = cut(pair, "+");
    return std::ranges::any_of(result_.window.conflicts, [&](const Conflict& one) {
      const auto &below = result_.window.ranges[one.a], &above = result_.window.ranges[one.b];
      return (is_about(below, a) && is_about(above, b)) || (is_about(below, b) && is_about(above, a));
    });
  }
  bool share(const std::string& text) const {
    const auto [who, span] = cut(text, " ");
    const auto [acid, ph] = cut(who, "@");
    const auto phase = water_phase_of(result_.formula, known());
    return Span(span).holds(undissociated_share(*phase, acid, std::stod(ph), result_.prediction->ionic_strength));
  }
  bool crystals(const std::string& acid) const {
    const bool now = std::ranges::any_of(result_.prediction->saturated, [&](const Saturated& s) { return s.substance == acid; });
    return now || std::ranges::any_of(result_.preservation.acids, [&](const PreservativeState& s) { return s.acid == acid && s.percent_out > 0; });
  }
  bool thins(const std::string& id) const {
    return std::ranges::any_of(result_.electrolyte->thickeners, [&](const ThickenerState& state) {
      return result_.formula.items[state.item].ingredient == id && result_.electrolyte->thins(state);
    });
  }
  bool too_little(const std::string& acid) const {
    return std::ranges::any_of(result_.preservation.acids, [&](const PreservativeState& state) {
      return state.acid == acid && state.least_active && state.fraction() < 1;
    });
  }
  bool gap(const std::string& group) const {
    return std::ranges::any_of(result_.preservation.spectrum, [&](const Coverage& c) { return c.group == group && c.items.empty(); });
  }
  bool any_change(auto&& holds) const {
    return std::ranges::any_of(result_.remedies, [&](const Remedy& remedy) { return std::ranges::any_of(remedy.changes, holds); });
  }
  bool remedy(const std::string& kind) const {
    return any_change([&](const Change& c) { return change_kind_names[static_cast<std::size_t>(c.kind)] == kind; });
  }
  bool brings_in(const std::string& subject) const {
    return any_change([&](const Change& c) { return !c.ingredient.empty() && known().covers(subject, c.ingredient); });
  }
  bool leaves_out(const std::string& id) const {
    return any_change([&](const Change& c) {
      return c.kind == ChangeKind::leave_out && std::ranges::any_of(c.items, [&](std::size_t i) { return result_.formula.items[i].ingredient == id; });
    });
  }
  bool not_judged(const std::string& text) const {
    return std::ranges::any_of(result_.not_judged, [&](const NotJudged& n) { return (n.what + n.why).find(text) != std::string::npos; });
  }
  bool no_grams() const {
    return std::ranges::none_of(result_.adjustments, [](const Adjustment& a) { return a.possible && a.withheld.empty() && a.grams > 0; });
  }
  bool quiet() const {
    return !result_.stop() && std::ranges::none_of(result_.cautions, [](const FiredCaution& c) { return c.severity != tables::Severity::note; }) &&
           std::ranges::none_of(result_.limits, &CheckedLimit::exceeded);
  }

  CheckResult result_;
};

}  // namespace

TEST_CASE("scenarios of the trade come out as their sources or common practice say") {
  std::set<std::string> ids;
  for (const auto& row : test::rows_of_file("answers/data/scenarios.csv")) {
    const auto& id = row.text("id");
    CAPTURE(id);
    CHECK(ids.insert(id).second);
    const bool published = row.text("kind") == "published";
    CHECK(published == (row.has("source") && row.has("as_printed")));
    const Scenario scenario(row);
    for (const auto& token : samples::split(row.text("expect"), ';')) CHECK_MESSAGE(scenario.meets(token), token);
  }
  CHECK(ids.size() >= 40);
}
