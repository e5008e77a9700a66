// SPDX-License-Identifier: MIT
// The screens about a batch as they were read and approved; COUNTERION_REGENERATE=1 writes them
// anew.
#include "../answers/samples.hpp"

#include <counterion/report/batch.hpp>

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();

std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

void check_screen(const std::string& name, const std::string& text) {
  const std::string path =
      std::string(COUNTERION_SOURCE_DIR) + "/tests/dosing/golden/" + name + ".txt";
  if (std::getenv("COUNTERION_REGENERATE")) std::ofstream(path, std::ios::binary) << text;
  CAPTURE(name);
  CHECK(text == contents_of(path));
}

BatchOptions careful() {
  BatchOptions options;
  options.meter_ph = 0.05;
  return options;
}

/// A lotion that falls in its first days.
Formula lotion() {
  return samples::formula_of({{"caprylic-capric-triglyceride", 15},
                              {"glycerin", 3},
                              {"gluconolactone-sodium-benzoate-75-25", 1.5}});
}

}  // namespace

TEST_CASE("the screens about batches are those that were approved") {
  auto options = careful();
  check_screen("predict-hand-wash",
               foreseen_report(foresee(samples::sample("hand-wash"), built_in, options)));
  check_screen("predict-heel-cream",
               foreseen_report(foresee(samples::sample("heel-cream"), built_in, options)));
  check_screen("predict-lotion", foreseen_report(foresee(lotion(), built_in, options)));
  options.readings = {{11.8, {}, {}}};
  check_screen("adjust-hand-wash",
               dosing_report(adjust(samples::sample("hand-wash"), built_in, options)));
  options.readings = {{3.85, {}, {}}, {4.3, {{{"sodium-hydroxide", 10}, 15}}, {}}};
  options.target = pH(4.8);
  check_screen("adjust-heel-cream",
               dosing_report(adjust(samples::sample("heel-cream"), built_in, options)));
  options.readings = {{7.5, {}, {}}};
  check_screen("adjust-heel-cream-mistake",
               dosing_report(adjust(samples::sample("heel-cream"), built_in, options)));
}

TEST_CASE("the README shows the hand wash's plan as the command answers it") {
  const std::string readme = contents_of(COUNTERION_SOURCE_DIR "/README.md");
  const auto begin = readme.find("Plan for 2000");
  REQUIRE(begin != readme.npos);
  const std::string shown = readme.substr(begin, readme.find("\n\n", begin) - begin);
  CHECK(shown.size() > 300);
  CHECK(
      contents_of(COUNTERION_SOURCE_DIR "/tests/dosing/golden/adjust-hand-wash.txt").find(shown) !=
      std::string::npos);
}
