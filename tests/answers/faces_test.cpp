// SPDX-License-Identifier: MIT
// The two faces of an answer agree with each other and with the engine.
#include "samples.hpp"

#include <counterion/report/json.hpp>
#include <counterion/report/text.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>

using namespace counterion;

namespace {

std::vector<std::string> all_adjusters() {
  std::vector<std::string> ids;
  for (const auto& ingredient : Tables::built_in().ingredients())
    for (const auto& level : Tables::built_in().levels_of(ingredient.id))
      if (level.kind == "adjuster-stock" && level.rank == 1) ids.emplace_back(ingredient.id);
  return ids;
}

/// The first number in the amounts table, and what one unit of its last digit is worth.
struct Printed {
  double grams = 0, last_digit = 1;
};

Printed grams_in_text(const std::string& text) {
  const auto header = text.find("first g");
  REQUIRE(header != std::string::npos);
  const auto row = text.find('\n', header) + 1;
  const std::string line = text.substr(row, text.find('\n', row) - row);
  const auto name_end = line.find("  ", 2);  // two blanks end the name
  const std::string rest = line.substr(line.find_first_not_of(' ', name_end));
  const std::string number = rest.substr(0, rest.find(' '));
  const auto point = number.find('.');
  const int decimals = point == std::string::npos ? 0 : static_cast<int>(number.size() - point - 1);
  return {std::strtod(number.c_str(), nullptr), std::pow(10.0, -decimals)};
}

double grams_in_json(const std::string& json) {
  const std::string key = "\"grams\": ";
  const auto at = json.find(key, json.find("\"adjustment\": ["));
  REQUIRE(at != std::string::npos);
  return std::strtod(json.c_str() + at + key.size(), nullptr);
}

void check_faces(const CheckResult& result, const Adjustment& adjustment) {
  const std::string text = text_report(result, {.width = 100, .colour = false, .utf8 = true, .all = false});
  const Printed printed = grams_in_text(text);
  const double exact = grams_in_json(json_report(result));
  CHECK(exact == doctest::Approx(adjustment.grams).epsilon(1e-12));
  CHECK(std::abs(printed.grams - exact) <= std::max(0.5001 * printed.last_digit, 0.00501 * exact));
  const Formula adjusted = with_adjuster(result.formula, adjustment.adjuster, adjustment.percent, adjustment.from_water, result.tables);
  const Prediction again = predict(water_phase_of(adjusted, result.tables).value(), 0);
  CHECK(std::abs(again.ph - adjustment.target) <= 0.01);
}

}  // namespace

TEST_CASE("text and JSON name the same grams, and with them the formula lands on the target") {
  int weighed = 0;
  for (const auto& name : samples::names)
    for (const auto& adjuster : all_adjusters())
      for (const double target : {4.5, 6.5}) {
        CAPTURE(name);
        CAPTURE(adjuster);
        CAPTURE(target);
        CheckOptions options;
        options.target = pH(target);
        options.adjusters = {adjuster};
        const auto result = check(samples::sample(name), Tables::built_in(), options);
        if (result.adjustments.empty()) continue;
        const auto& adjustment = result.adjustments.front();
        if (!adjustment.possible || !adjustment.withheld.empty()) continue;
        check_faces(result, adjustment);
        ++weighed;
      }
  CHECK(weighed > 30);
}

TEST_CASE("where nothing can be weighed the JSON has no grams") {
  CheckOptions options;
  options.target = pH(10);
  options.adjusters = {"citric-acid"};
  const auto json = json_report(check(samples::sample("heel-cream"), Tables::built_in(), options));
  const auto adjustment = json.find("\"adjustment\": [");
  CHECK(json.find("\"grams\": null", adjustment) != std::string::npos);
  CHECK(json.find("\"possible\": false", adjustment) != std::string::npos);
}

TEST_CASE("an amount whose move destroys the product is withheld on both faces") {
  CheckOptions options;
  options.target = pH(6);
  options.adjusters = {"citric-acid"};
  const auto soap = samples::formula_of({{"potassium-cocoate-40", 40}, {"glycerin", 5}}, "hand", "rinse-off");
  const auto result = check(soap, Tables::built_in(), options);
  REQUIRE(result.adjustments.size() == 1);
  CHECK_FALSE(result.adjustments.front().withheld.empty());
  CHECK(json_report(result).find("\"grams\": null") != std::string::npos);
  CHECK(text_report(result).find("no amount is given") != std::string::npos);
}
