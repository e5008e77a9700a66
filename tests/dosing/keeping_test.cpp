// SPDX-License-Identifier: MIT
// Whether a batch will stay: the forecast in the answers about it.
#include "../answers/samples.hpp"

#include "../../lib/src/report/batch_sections.hpp"

#include <counterion/report/batch.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace counterion;
using doctest::Approx;

namespace {

const Tables& built_in = Tables::built_in();

BatchOptions few_draws() {
  BatchOptions options;
  options.draws = 256;
  return options;
}

Keeping keeping_of(const Formula& formula, const BatchOptions& options = few_draws()) {
  return foresee(formula, built_in, options).keeping.value();
}

/// Urea and hardly a buffer.
Formula urea_gel() {
  return samples::formula_of(
      {{"urea", 10}, {"glycerin", 5}, {"xanthan-gum", 0.5}, {"lactic-acid-80", 0.1}});
}

bool has_day(const std::vector<DriftPoint>& points, double days) {
  return std::ranges::any_of(points, [&](const auto& p) { return p.days == Approx(days); });
}

}  // namespace

TEST_CASE("without a word about storage it is two years at 25 °C") {
  const auto keeping = keeping_of(samples::sample("heel-cream"));
  REQUIRE(keeping.storage.size() == 1);
  CHECK(keeping.storage[0].days == 730.5);
  CHECK(keeping.storage[0].celsius == 25);
  CHECK(keeping.drift.points.back().days == 730.5);
  for (const double days : {0.0, 1.0, 7.0, 30.4, 365.25})
    CHECK(has_day(keeping.drift.points, days));
}

TEST_CASE("a forecast ends with its storage, and looks at the end of every stay") {
  auto options = few_draws();
  options.storage = {{84, 45}};
  CHECK(keeping_of(urea_gel(), options).drift.points.back().days == 84);
  options.storage = {{90, 40}, {0, 25}};
  const auto keeping = keeping_of(urea_gel(), options);
  CHECK(has_day(keeping.drift.points, 90));
  CHECK(keeping.drift.points.back().days == 730.5);
  options.days = {3, 5};
  CHECK(keeping_of(urea_gel(), options).drift.points.size() == 2);
  options.storage = {{-1, 25}, {3, 90}};
  CHECK_THROWS_AS(foresee(urea_gel(), built_in, options), BadInput);
}

TEST_CASE("warmth does in weeks what the shelf does in months") {
  auto options = few_draws();
  options.storage = {{84, 40}, {0, 25}};
  const auto keeping = keeping_of(urea_gel(), options);
  REQUIRE(keeping.warm_stays.size() == 1);
  REQUIRE_FALSE(keeping.warm_stays[0].at_25_celsius.empty());
  CHECK(keeping.warm_stays[0].at_25_celsius[0].low > 84);
  const auto text = foreseen_report(foresee(urea_gel(), built_in, options));
  CHECK(text.find("12 weeks at 40 °C do what") != std::string::npos);
  CHECK(keeping_of(urea_gel()).warm_stays.empty());
}

TEST_CASE("what moves gets readings to take and two buffers at most") {
  const auto keeping = keeping_of(urea_gel());
  CHECK(keeping.drift.rise > most_drift_ph);
  REQUIRE(keeping.follow_ups.size() >= 3);
  CHECK(keeping.follow_ups[0].days == 1);
  for (const auto& one : keeping.follow_ups) {
    CHECK(one.low < one.ph);
    CHECK(one.ph < one.high);
  }
  REQUIRE(keeping.buffers);
  CHECK(keeping.buffers->pairs.size() <= 2);
}

TEST_CASE("a reading of the batch makes the readings to come surer") {
  const auto before = keeping_of(urea_gel());
  auto options = few_draws();
  options.readings = {before.drift.points[4].ph};
  const auto after = keeping_of(urea_gel(), options);
  CHECK(after.follow_ups[0].high - after.follow_ups[0].low <
        before.follow_ups[0].high - before.follow_ups[0].low);
}

TEST_CASE("where nothing is known to happen, one line says so") {
  const auto formula = samples::formula_of(
      {{"glycerin", 5}, {"citric-acid", 0.5}, {"trisodium-citrate-dihydrate", 1}});
  const auto answer = foresee(formula, built_in, few_draws());
  CHECK(answer.keeping->drift.causes.empty());
  CHECK(answer.keeping->follow_ups.empty());
  CHECK_FALSE(answer.keeping->buffers);
  CHECK(foreseen_report(answer).find("Nothing in it is known to move its pH.") !=
        std::string::npos);
}

TEST_CASE("where grams are asked for, the forecast begins at the target") {
  auto options = few_draws();
  options.target = pH(5.5);
  const auto answer = adjust(urea_gel(), built_in, options);
  REQUIRE(answer.chosen);
  REQUIRE(answer.keeping);
  const auto& points = answer.keeping->drift.points;
  CHECK(points.front().ph == Approx(5.5).epsilon(0.03));
}

TEST_CASE("later readings are judged and, when old, not learned from") {
  auto options = few_draws();
  options.readings = {4.6};
  const double later = keeping_of(urea_gel(), options).drift.points.back().ph;
  BatchReading old(later);
  old.age_days = 730.5;
  options.readings = {4.6, old};
  const auto answer = foresee(urea_gel(), built_in, options);
  CHECK(answer.learned.readings.size() == 1);
  REQUIRE(answer.series.size() == 1);
  CHECK(answer.series[0].as_expected);
  CHECK(foreseen_report(answer).find("as expected") != std::string::npos);
  options.readings[1].ph -= 2.5;
  const auto odd = foresee(urea_gel(), built_in, options);
  CHECK_FALSE(odd.series[0].as_expected);
  CHECK(foreseen_report(odd).find("something else") != std::string::npos);
}

TEST_CASE("without water nothing is foretold") {
  const auto oil = samples::formula_of({{"sunflower-seed-oil", 60}, {"shea-butter", 40}});
  CHECK_FALSE(foresee(oil, built_in, few_draws()).keeping);
}

TEST_CASE("days are said as people say them") {
  const auto said = [](double days) {
    auto text = report::time_text(days);
    std::ranges::replace(text, '\x01', ' ');
    return text;
  };
  CHECK(said(0.0007) == "1 minute");
  CHECK(said(0.25) == "6 hours");
  CHECK(said(1) == "1 day");
  CHECK(said(5) == "5 days");
  CHECK(said(7) == "1 week");
  CHECK(said(14) == "2 weeks");
  CHECK(said(30.4) == "1 month");
  CHECK(said(91.3) == "3 months");
  CHECK(said(84) == "12 weeks");
  CHECK(said(365.25) == "1 year");
  CHECK(said(547.9) == "18 months");
  CHECK(said(730.5) == "2 years");
  CHECK(said(1000) == "2.7 years");
}
