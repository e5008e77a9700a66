// SPDX-License-Identifier: MIT
// Explanations of batches of which is known what went wrong with them: the truth is the engine's
// own pH of the batch as it would be, so these are facts about the mending and not about the
// chemistry.
#include "../answers/samples.hpp"

#include <counterion/report/explanation.hpp>

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

double ph_with(const Formula& formula) {
  return ph_of(water_phase_of(formula, built_in).value());
}

/// A formula with a line so many times as it should be.
Formula with_line(const Formula& formula, const std::string& ingredient, double factor) {
  Variation one;
  one.lines = {{samples::line_of(formula, ingredient), factor, 0, {}}};
  return varied(formula, one);
}

Finding found(const std::string& text, const Formula& formula) {
  return finding_named(text, formula, built_in);
}

ExplainOptions reads(double ph) {
  ExplainOptions options;
  options.readings = {BatchReading(ph)};
  return options;
}

std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

void check_screen(const std::string& name, const std::string& text) {
  const std::string path =
      std::string(COUNTERION_SOURCE_DIR) + "/tests/reading/screens/" + name + ".txt";
  if (std::getenv("COUNTERION_REGENERATE")) std::ofstream(path, std::ios::binary) << text;
  CAPTURE(name);
  CHECK(text == contents_of(path));
}

ReadingLog log_of(const std::string& text) {
  return read_reading_log(text, "readings.csv", built_in);
}

}  // namespace

TEST_CASE("lactic acid left out is weighed in again, and the cream is that of the formula") {
  const Formula cream = samples::sample("heel-cream");
  auto options = reads(ph_with(with_line(cream, "lactic-acid-80", 0)));
  options.findings = {found("measure-again: nothing", cream), found("weigh-batch: 490 g", cream)};
  const auto answer = explain(cream, built_in, options);
  REQUIRE(answer.measurement);
  CHECK(answer.measurement->difference == Difference::real);
  CHECK(answer.explained.causes.front().hypothesis.kind == "ingredient-left-out");
  REQUIRE_FALSE(answer.mends.empty());
  const Mend& mend = answer.mends.front();
  CHECK(mend.action == MendAction::weigh_in);
  CHECK(mend.withheld == "");
  REQUIRE(mend.weighings.size() == 1);
  CHECK(mend.weighings.front().ingredient == "lactic-acid-80");
  CHECK(mend.weighings.front().grams == doctest::Approx(10).epsilon(1e-9));
  CHECK(*mend.batch_g == doctest::Approx(500).epsilon(1e-9));
  CHECK(std::abs(*mend.after.ph - ph_with(cream)) < 1e-6);
}

TEST_CASE("a weighed batch gets what brings the line to its percent of that weight") {
  const Formula cream = samples::sample("heel-cream");
  auto options = reads(ph_with(with_line(cream, "lactic-acid-80", 0)));
  options.findings = {found("measure-again: nothing", cream), found("weigh-batch: 488 g", cream)};
  const auto answer = explain(cream, built_in, options);
  REQUIRE(answer.mends.front().weighings.size() == 1);
  const double x = answer.mends.front().weighings.front().grams;
  CHECK(x / (488 + x) == doctest::Approx(0.02).epsilon(1e-9));
}

TEST_CASE("water lost on heating is made up") {
  const Formula toner = samples::formula_of({{"lactic-acid-80", 2}, {"glycerin", 3}});
  Variation lost;
  lost.water_left = 0.8;
  const Formula dry = varied(toner, lost);
  auto options = reads(ph_with(dry));
  options.findings = {found("weigh-batch: water-loss-on-heating", toner)};
  options.findings.push_back({"weigh-batch", {}, {}, dry.batch_g});
  const auto answer = explain(toner, built_in, options);
  const auto& cause = answer.explained.causes.front();
  REQUIRE(cause.hypothesis.kind == "water-loss-on-heating");
  const Mend& mend = answer.mends.front();
  CHECK(mend.action == MendAction::make_up_with_water);
  REQUIRE(mend.weighings.size() == 1);
  CHECK(mend.weighings.front().ingredient == "water");
  CHECK(mend.weighings.front().grams == doctest::Approx(100 - dry.batch_g).epsilon(1e-9));
  CHECK(std::abs(*mend.after.ph - ph_with(toner)) < 1e-6);
}

TEST_CASE("of hundreds of readings the first and the last count, and all that was weighed in") {
  const Formula wash = samples::sample("hand-wash");
  const Portion portion{{"citric-acid", 20}, 0.1};
  ExplainOptions options;
  options.readings = {BatchReading(11)};
  for (int n = 0; n < 200; ++n) options.readings.push_back(BatchReading(6, {portion}));
  const auto answer = explain(wash, built_in, options);
  CHECK(answer.set_aside == 201 - most_readings);
  CHECK(answer.readings.size() == most_readings);
  double grams = 0;
  for (const auto& reading : answer.options.readings)
    for (const auto& one : reading.added) grams += one.grams;
  CHECK(grams == doctest::Approx(20));
}

TEST_CASE("lactic acid weighed twice asks for a larger batch where no small dose does") {
  const Formula cream = samples::sample("heel-cream");
  auto options = reads(ph_with(with_line(cream, "lactic-acid-80", 2)));
  options.findings = {found("measure-again: nothing", cream), found("weigh-batch: 510 g", cream),
                      found("weigh-batch: lactic acid 80 %", cream)};
  const auto answer = explain(cream, built_in, options);
  REQUIRE(answer.explained.causes.front().hypothesis.kind == "ingredient-doubled");
  const Mend& mend = answer.mends.front();
  REQUIRE(mend.action == MendAction::make_larger);
  double grams = 0;
  for (const auto& one : mend.weighings) grams += one.grams;
  CHECK(grams == doctest::Approx(490).epsilon(1e-9));
  CHECK(*mend.batch_g == doctest::Approx(1000).epsilon(1e-9));
  CHECK(std::abs(*mend.after.ph - ph_with(cream)) < 1e-6);
}

TEST_CASE("an adjuster added twice is dosed back to where the formula has it") {
  const Formula wash = samples::sample("hand-wash");
  const Portion portion{{"citric-acid", 20}, 25.7};
  ExplainOptions options;
  options.target = pH(4.8);
  const double before = ph_with(wash);
  const Portion twice{portion.adjuster, 2 * portion.grams};
  const double after = ph_with(with_portions(wash, std::vector{twice}, built_in));
  options.readings = {BatchReading(before), BatchReading(after, {portion})};
  options.findings = {found("look-at-adjuster: adjuster-added-twice", wash)};
  const auto answer = explain(wash, built_in, options);
  REQUIRE(answer.explained.causes.front().hypothesis.kind == "adjuster-added-twice");
  const Mend& mend = answer.mends.front();
  CHECK(mend.action == MendAction::dose);
  REQUIRE(mend.weighings.size() == 1);
  const auto* adjuster = built_in.ingredient(mend.weighings.front().ingredient);
  REQUIRE(adjuster);
  CHECK(*mend.after.ph == doctest::Approx(4.8).epsilon(0.01));
  CHECK(mend.after.limits.empty());
}

TEST_CASE("a sample read warm without compensation and said so needs no cause") {
  const Formula cream = samples::sample("heel-cream");
  Conditions warm;
  warm.temperature = celsius(50);
  const double ph = ph_of(water_phase_of(cream, built_in, warm).value());
  auto options = reads(shown_without_compensation(ph, 50, 25));
  const auto unsaid = explain(cream, built_in, options);
  options.taken.resize(1);
  options.taken[0].measuring.sample_celsius = 50;
  options.taken[0].measuring.compensates_temperature = false;
  const auto said = explain(cream, built_in, options);
  CHECK(said.explained.causes.front().hypothesis.kind == "none");
  CHECK(said.measurement->difference == Difference::inside);
  CHECK(std::abs(said.measurement->surprise) < 0.1);
  CHECK(std::abs(said.measurement->surprise) < std::abs(unsaid.measurement->surprise));
  CHECK(said.measurement->quality.corrected_ph == doctest::Approx(ph_with(cream)).epsilon(0.002));
}

TEST_CASE("a slurry that is said to be one is not corrected twice") {
  const Formula cream = samples::sample("heel-cream");
  const Dilution tenth{10, 90, 0};
  auto options = reads(ph_of(diluted(water_phase_of(cream, built_in).value(), tenth, built_in)));
  options.taken.resize(1);
  options.taken[0].measuring.dilution = tenth;
  const auto answer = explain(cream, built_in, options);
  CHECK(answer.measurement->difference == Difference::inside);
  CHECK(std::abs(answer.measurement->surprise) < 0.1);
  CHECK(answer.measurement->quality.corrected_ph == doctest::Approx(ph_with(cream)).epsilon(0.002));
}

TEST_CASE("buffers that read too high are taken out of the reading") {
  const Formula cream = samples::sample("heel-cream");
  auto options = reads(ph_with(cream) + 0.3);
  options.taken.resize(1);
  options.taken[0].measuring.buffers = {{4.01, 4.31, {}, 25}, {7.0, 7.3, {}, 25}};
  const auto answer = explain(cream, built_in, options);
  CHECK(answer.measurement->read == doctest::Approx(ph_with(cream)).epsilon(1e-6));
  CHECK(answer.measurement->difference == Difference::inside);
}

TEST_CASE("a strip half a step away shows no difference") {
  const Formula cream = samples::sample("heel-cream");
  for (const double off : {-0.25, 0.25}) {
    auto options = reads(ph_with(cream) + off);
    options.taken.resize(1);
    options.taken[0].measuring.method = Method::strip;
    options.taken[0].method_stated = true;
    const auto answer = explain(cream, built_in, options);
    CHECK(answer.measurement->difference == Difference::inside);
    CHECK(answer.explained.causes.front().hypothesis.kind == "none");
  }
}

TEST_CASE("no grams are given while leading causes disagree about what to do") {
  const Formula cream = samples::sample("heel-cream");
  for (const double ph : {3.2, 3.5, 4.3, 4.45, 4.6, 5.2, 6.0, 7.5}) {
    const auto answer = explain(cream, built_in, reads(ph));
    CAPTURE(ph);
    const auto& causes = answer.explained.causes;
    if (causes.front().probability >= sure_of_cause) continue;
    bool agree = true;
    for (const auto& mend : answer.mends)
      agree = agree && mend.action == answer.mends.front().action;
    if (agree) continue;
    CHECK_FALSE(answer.withheld.empty());
    for (const auto& mend : answer.mends) CHECK(mend.weighings.empty());
  }
}

TEST_CASE(
    "every mend that is offered was judged again: no stop, no limit exceeded that the formula "
    "keeps") {
  for (const auto& name : samples::names) {
    const Formula formula = samples::sample(name);
    const auto checked = check(formula);
    for (double ph = 2; ph < 13; ph += 0.5) {
      CAPTURE(name);
      CAPTURE(ph);
      const auto answer = explain(formula, built_in, reads(ph));
      double sum = 0;
      for (const auto& cause : answer.explained.causes) sum += cause.probability;
      CHECK(sum == doctest::Approx(1));
      for (const auto& mend : answer.mends) {
        if (mend.weighings.empty()) continue;
        CHECK(mend.after.ph);
        CHECK(mend.after.preservation != PreservationChange::lost);
        for (const auto& caution : mend.after.new_cautions)
          CHECK(caution.severity != tables::Severity::stop);
        for (const auto& one : mend.weighings) CHECK(one.grams > 0);
      }
    }
  }
}

TEST_CASE("findings are read in words, and wrong ones are told the words there are") {
  const Formula wash = samples::sample("hand-wash");
  CHECK(found("measure-again: nothing", wash).kind == "");
  CHECK(found("weigh-batch: 1.95 kg", wash).grams == doctest::Approx(1950));
  CHECK(found("packs-and-sheet: wrong-hydrate", wash).kind == "wrong-hydrate");
  const auto line = found("packs-and-sheet: potassium sorbate", wash);
  CHECK(line.kind == any_kind);
  CHECK(line.item == samples::line_of(wash, "potassium-sorbate"));
  for (const auto* bad : {"", "nonsense", "nonsense: nothing", "measure-again",
                          "measure-again:", "measure-again: left out", "packs-and-sheet: saffron",
                          "weigh-batch: -3 g"}) {
    CAPTURE(bad);
    CHECK_THROWS_AS(found(bad, wash), BadInput);
  }
  CHECK_THROWS_WITH_AS(found("nonsense: nothing", wash), doctest::Contains("measure-again"),
                       BadInput);
  CHECK_THROWS_WITH_AS(found("measure-again: no", wash), doctest::Contains("meter-not-calibrated"),
                       BadInput);
}

TEST_CASE("without readings or water there is nothing to explain") {
  const Formula cream = samples::sample("heel-cream");
  CHECK_THROWS_AS(explain(cream, built_in, {}), BadInput);
  CHECK_THROWS_AS(explain(cream, built_in, reads(15)), BadInput);
  CHECK_THROWS_AS(explain(cream, built_in, reads(std::nan(""))), BadInput);
  const auto dry = samples::formula_of({{"sunflower-seed-oil", 98}});
  const auto answer = explain(dry, built_in, reads(5));
  CHECK_FALSE(answer.measurement);
  CHECK(answer.explained.causes.empty());
  CHECK(text_report(answer).find("means nothing here") != std::string::npos);
}

TEST_CASE("what follows an addition that cannot be read gives no grams") {
  const Formula wash = samples::sample("hand-wash");
  const auto log = log_of("added,g,pH\n,,11.5\nmystery potion,12,6.1\ncitric acid 20 %,3,4.9\n");
  ExplainOptions options;
  add_log(log, "readings.csv", built_in, options);
  CHECK(options.readings.size() == 1);
  CHECK(options.log->left_out == 2);
  CHECK(options.log->broken.size() == 1);
  const auto answer = explain(wash, built_in, options);
  CHECK_FALSE(answer.withheld.empty());
  for (const auto& mend : answer.mends) CHECK(mend.weighings.empty());
  const auto hopeless = log_of("added,g,pH\nmystery potion,12,6.1\n");
  ExplainOptions none;
  CHECK_THROWS_AS(add_log(hopeless, "readings.csv", built_in, none), BadInput);
}

TEST_CASE("a change over time is held against the forecast") {
  const Formula cream = samples::sample("heel-cream");
  ExplainOptions options;
  const double ph = ph_with(cream);
  options.readings = {BatchReading(ph), BatchReading(ph + 0.02)};
  options.readings[0].age_days = 1, options.readings[1].age_days = 8;
  auto answer = explain(cream, built_in, options);
  REQUIRE(answer.change);
  CHECK(answer.change->as_forecast);
  CHECK(answer.change->low < answer.change->expected);
  options.readings[1].ph = ph + 1;
  answer = explain(cream, built_in, options);
  CHECK_FALSE(answer.change->as_forecast);
}

TEST_CASE("the screens of explanations are those that were approved") {
  const Formula cream = samples::sample("heel-cream"), wash = samples::sample("hand-wash");
  check_screen("cream-as-expected", text_report(explain(cream, built_in, reads(4.0))));
  check_screen("cream-off", text_report(explain(cream, built_in, reads(4.45))));
  auto light = reads(5.15);
  light.findings = {found("weigh-batch: 491 g", cream)};
  check_screen("cream-light", text_report(explain(cream, built_in, light)));
  ExplainOptions options;
  options.readings = {BatchReading(11.5), BatchReading(6.5, {{{"citric-acid", 20}, 25.7}})};
  check_screen("wash-falls-short", text_report(explain(wash, built_in, options)));
}

TEST_CASE("the README shows why the cream is off as the command answers it") {
  const std::string readme = contents_of(COUNTERION_SOURCE_DIR "/README.md");
  for (const auto* name : {"cream-off", "cream-light"}) {
    const std::string screen =
        contents_of(std::string(COUNTERION_SOURCE_DIR) + "/tests/reading/screens/" + name + ".txt");
    CHECK(readme.find(screen.substr(0, screen.find("\n\n"))) != std::string::npos);
  }
}

TEST_CASE(
    "no line of a screen is wider than the page, nor is anything but ASCII left where it must "
    "not") {
  const Formula cream = samples::sample("heel-cream");
  for (const double ph : {4.0, 4.45, 7.5})
    for (const int width : {40, 60, 80}) {
      TextStyle style;
      style.width = width, style.utf8 = false, style.all = width == 60;
      std::istringstream lines(text_report(explain(cream, built_in, reads(ph)), style));
      for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(line.size() <= static_cast<std::size_t>(width));
        for (const char c : line) CHECK((c >= ' ' && c <= '~'));
      }
    }
}
