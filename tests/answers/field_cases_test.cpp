// SPDX-License-Identifier: MIT
// Real compositions with an official or measured pH: A monographs and handbook buffers, B practitioners'
// reports, C papers and published formulas. Volumes are turned into grams as each row's note says. Nothing
// is tuned to them: a miss stays in the file, with its reason under if_missed where one is known. What could
// not be written as a composition, or illustrates only, is listed in data/field_cases_left_out.csv.
#include "measured.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

using namespace counterion;

namespace {

struct Outcome {
  std::size_t touched = 0;
  std::vector<double> errors, widths;

  void add(const test::Row& row, const Prediction& prediction) {
    touched += measured::touches(row, prediction) ? 1 : 0;
    errors.push_back(std::abs(measured::distance(row, prediction.ph)));
    widths.push_back(prediction.p95 - prediction.p05);
  }
  std::string summary(const std::string& what) const {
    return fmt::format("{}: {} cases, {} reached by the interval (median width {:.2f}), median error {:.3f}, "
                       "largest {:.2f}",
                       what, errors.size(), touched, measured::median(widths), measured::median(errors),
                       *std::max_element(errors.begin(), errors.end()));
  }
};

struct Record {
  std::map<std::string, Outcome> by_kind;
  Outcome all;
  std::vector<std::string> lines;

  void add(const test::Row& row) {
    const auto prediction = measured::predicted(row);
    by_kind[row.text("kind")].add(row, prediction);
    all.add(row, prediction);
    lines.push_back(measured::line(row.text("case"), row, prediction) +
                    (measured::touches(row, prediction) ? "" : "  MISSED " + row.text("if_missed")));
  }
};

Record record_of(const std::vector<test::Row>& rows) {
  Record record;
  for (const auto& row : rows) record.add(row);
  for (const auto& [kind, outcome] : record.by_kind) record.lines.push_back(outcome.summary(kind));
  record.lines.push_back(record.all.summary("all"));
  return record;
}

}  // namespace

TEST_CASE("the interval reaches the pH of real compositions") {
  const auto record = record_of(test::rows_of_file("answers/data/field_cases.csv"));
  for (const auto& line : record.lines) MESSAGE(line);
  measured::print(record.lines);
  // 35 when written; one case of room. Practitioners' reports are reached by intervals of many units.
  CHECK(record.all.errors.size() == 49);
  CHECK(record.all.touched >= 42);
}

TEST_CASE("every field case names who says so, or that it is common practice") {
  for (const auto& row : test::rows_of_file("answers/data/field_cases.csv")) {
    CAPTURE(row.text("case"));
    CHECK((row.has("locator") || row.text("source") == "common practice"));
    CHECK((row.text("kind") != "B" || row.text("source") == "common practice"));
  }
}

TEST_CASE("what is left out of the field cases says why") {
  for (const auto& row : test::rows_of_file("answers/data/field_cases_left_out.csv"))
    CHECK(row.has("reason"));
}
