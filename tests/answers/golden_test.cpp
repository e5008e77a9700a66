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

std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::string golden(const std::string& name) { return contents_of(golden_path(name)); }

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

TEST_CASE("the README shows the hand wash as the command answers it") {
  const std::string readme = contents_of(COUNTERION_SOURCE_DIR "/README.md"), fence = "```text\n";
  const auto begin = readme.find(fence) + fence.size();
  const std::string shown = readme.substr(begin, readme.find("\n\n[", begin) - begin);
  CHECK(shown.size() > 1000);
  CHECK(golden("hand-wash").starts_with(shown));
}
