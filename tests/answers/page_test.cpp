// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <counterion/report/json.hpp>
#include <counterion/report/text.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

using namespace counterion;

namespace {

std::size_t columns_of(const std::string& line) {
  return static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  }));
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

std::string without_colour(std::string text) {
  for (auto at = text.find('\x1b'); at != std::string::npos; at = text.find('\x1b', at))
    text.erase(at, text.find('m', at) - at + 1);
  return text;
}

}  // namespace

TEST_CASE("no line is wider than the page") {
  for (const auto& name : samples::names)
    for (const int width : {40, 57, 72, 80, 100})
      for (const bool all : {false, true})
        for (const auto& line : lines_of(text_report(
                 check(samples::sample(name)), {.width = width, .colour = false, .utf8 = true, .all = all}))) {
          CAPTURE(line);
          CHECK(columns_of(line) <= static_cast<std::size_t>(width));
        }
}

TEST_CASE("without UTF-8 the text is ASCII") {
  for (const auto& name : samples::names) {
    const auto text = text_report(check(samples::sample(name)),
                                  {.width = 80, .colour = false, .utf8 = false, .all = true});
    CHECK(std::all_of(text.begin(), text.end(), [](char c) { return c == '\n' || (c >= 0x20 && c < 0x7F); }));
  }
}

TEST_CASE("colour adds nothing but colour") {
  for (const auto& name : samples::names) {
    const auto result = check(samples::sample(name));
    const auto coloured = text_report(result, {.width = 80, .colour = true, .utf8 = true, .all = false});
    CHECK(coloured != text_report(result));
    CHECK(without_colour(coloured) == text_report(result));
  }
}

TEST_CASE("every number in square brackets stands in the list of sources") {
  const auto text = text_report(check(samples::sample("heel-cream")));
  const auto list = text.rfind("\nSources");
  REQUIRE(list != std::string::npos);
  for (int n = 1; text.substr(0, list).find("[" + std::to_string(n) + "]") != std::string::npos; ++n)
    CHECK(text.find("\n  [" + std::to_string(n) + "] ", list) != std::string::npos);
}

TEST_CASE("terminal codes in a formula do no harm") {
  auto formula = samples::formula_of({{"glycerin", 5}});
  formula.name = "cream\x1b[31m\n\x07";
  formula.items.push_back({.written = "\x1b]0;x\x07ghost", .ingredient = "", .percent = 1,
                           .fills_to_100 = false, .phase = "", .note = "", .strength_percent = {},
                           .declared_ph_low = {}, .declared_ph_high = {}, .declared_at_percent = {},
                           .place = {}, .alternatives = {}});
  const auto text = text_report(check(formula));
  CHECK(text.find('\x1b') == std::string::npos);
  CHECK(text.find('\x07') == std::string::npos);
}

TEST_CASE("a formula without water has no pH, and the answer says why") {
  const auto result = check(samples::formula_of({{"caprylic-capric-triglyceride", 60}, {"shea-butter", 39.5}}));
  CHECK_FALSE(result.prediction);
  CHECK(text_report(result).find("none to speak of") != std::string::npos);
  CHECK(json_report(result).find("\"prediction\": null") != std::string::npos);
  CHECK(json_report(result).find("\"no_prediction\": \"less than") != std::string::npos);
}

TEST_CASE("bytes that are no UTF-8 do not break the JSON") {
  auto formula = samples::formula_of({{"glycerin", 5}});
  formula.name = "cr\xE8me";
  CHECK(json_report(check(formula)).find("nan") == std::string::npos);
  CHECK_FALSE(text_report(check(formula)).empty());
}
