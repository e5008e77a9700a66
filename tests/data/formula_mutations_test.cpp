// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <iterator>
#include <random>

using namespace counterion;

namespace {

std::vector<std::string> saved_formulas() {
  std::vector<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::directory_iterator(test::formula_path(""))) {
    if (entry.path().extension() == ".csv") paths.push_back(entry.path());
  }
  std::ranges::sort(paths);
  std::vector<std::string> texts;
  for (const auto& path : paths) {
    std::ifstream stream(path, std::ios::binary);
    texts.emplace_back(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
  }
  texts.push_back(R"({"items": [{"ingredient": "Water", "percent": 97, "declared_pH": [5, 6]},
    {"ingredient": "Glycerin", "grams": 3, "strength_percent": 80}, {"ingredient": "Urea", "to_100": true}]})");
  return texts;
}

/// One to eight bytes changed, dropped, doubled, or swapped for ones that mean something.
std::string damaged(std::string text, std::mt19937& random) {
  constexpr std::string_view meaningful = "\",;\t\r\n#%:.-0123456789{}[]\\\xC3\xFF\0";
  const auto pick = [&](std::size_t count) { return random() % count; };
  for (auto rounds = 1 + pick(8); rounds > 0 && !text.empty(); --rounds) {
    const auto at = pick(text.size());
    switch (pick(4)) {
      case 0:
        text[at] = static_cast<char>(pick(256));
        break;
      case 1:
        text.erase(at, 1 + pick(12));
        break;
      case 2:
        text.insert(at, text, pick(text.size()), pick(40));
        break;
      default:
        text[at] = meaningful[pick(meaningful.size())];
        break;
    }
  }
  return text;
}

bool is_sound(const Formula& formula) {
  return std::ranges::all_of(formula.items, [](const FormulaItem& item) {
    return item.percent >= 0 && item.percent <= 100 + 1e-9;
  });
}

}  // namespace

TEST_CASE("damaged sheets are read or refused, never worse") {
  const auto& tables = Tables::built_in();
  const auto texts = saved_formulas();
  std::mt19937 random(20261125);
  int read = 0, refused = 0;
  for (int round = 0; round < 20000; ++round) {
    const auto text = damaged(texts[random() % texts.size()], random);
    try {
      const auto formula = read_formula(text, "damaged", tables, {random() % 2 == 0});
      if (!is_sound(formula)) {
        CAPTURE(text);
        CHECK(is_sound(formula));
      }
      ++read;
    } catch (const BadInput& error) {
      if (error.problems().empty()) CHECK_FALSE(error.problems().empty());
      ++refused;
    }
  }
  CHECK(read + refused == 20000);
  CHECK(read > 1000);
  CHECK(refused > 1000);
}
