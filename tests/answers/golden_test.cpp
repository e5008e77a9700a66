// SPDX-License-Identifier: MIT
// The screens as they were read and approved; COUNTERION_REGENERATE=1 writes them anew.
#include "samples.hpp"

#include <counterion/report/text.hpp>

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

using namespace counterion;

namespace {

std::string golden_path(const std::string& name) {
  return std::string(COUNTERION_SOURCE_DIR) + "/tests/answers/golden/" + name + ".txt";
}

std::string golden(const std::string& name) {
  std::ifstream file(golden_path(name), std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("every sample's screen is the one that was approved") {
  for (const auto& name : samples::names) {
    CAPTURE(name);
    const std::string text = text_report(check(samples::sample(name)));
    if (std::getenv("COUNTERION_REGENERATE"))
      std::ofstream(golden_path(name), std::ios::binary) << text;
    CHECK(text == golden(name));
  }
}
