// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"

#include <counterion/formula/reading_log.hpp>

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

const std::vector<std::string> logs{
    "# with: NaOH 10 %\n# batch: 500 g\nTime,Total g,pH,Temp,Note\n9:00,0,4.1,22,\n9:05,0.25,4.8,,\n9:10,1.5,6,21,slow\n",
    "Zugabe;St\xC3\xA4rke;g;pH\n;;;7,74\nNatronlauge 10 %;;0,5;7,9\nMalic acid;20;1,25;6,5\nlactic acid 80 %;;1;5\n"};

bool is_sound(const ReadingLog& log) {
  return std::ranges::all_of(log.lines, [](const LogLine& line) {
    return line.ph.value_or(7) >= 0 && line.ph.value_or(7) <= 14 && line.grams.value_or(1) > 0 &&
           line.stock_percent.value_or(1) > 0 && line.stock_percent.value_or(1) <= 100 &&
           line.grams.has_value() == !line.ingredient.empty();
  });
}

/// What a log with faults still says: no number outside of its range, and every fault with its line.
bool is_honest(const ReadingLog& log) {
  const bool lines = std::ranges::all_of(log.lines, [](const LogLine& line) {
    return line.ph.value_or(7) >= 0 && line.ph.value_or(7) <= 14 && line.grams.value_or(1) > 0 &&
           (line.ingredient.empty() || line.grams);
  });
  return lines && log.problems.empty() == log.broken.empty();
}

struct Outcomes {
  int read = 0, refused = 0;
};

/// Damages texts and reads them.
template <class Read>
Outcomes outcomes_of(const std::vector<std::string>& texts, int rounds, Read read) {
  std::mt19937 random(20261125);
  Outcomes outcomes;
  for (int round = 0; round < rounds; ++round) {
    const auto text = damaged(texts[random() % texts.size()], random);
    try {
      const bool sound = is_sound(read(text, random));
      if (!sound) {
        CAPTURE(text);
        CHECK(sound);
      }
      ++outcomes.read;
    } catch (const BadInput& error) {
      if (error.problems().empty()) CHECK_FALSE(error.problems().empty());
      ++outcomes.refused;
    }
  }
  return outcomes;
}

}  // namespace

TEST_CASE("damaged sheets are read or refused, never worse") {
  const auto outcomes = outcomes_of(saved_formulas(), 20000, [](const auto& text, auto& random) {
    return read_formula(text, "damaged", Tables::built_in(), {random() % 2 == 0});
  });
  CHECK(outcomes.read + outcomes.refused == 20000);
  CHECK(outcomes.read > 1000);
  CHECK(outcomes.refused > 1000);
}

TEST_CASE("damaged logs are read or refused, never worse") {
  const auto outcomes = outcomes_of(logs, 10000, [](const auto& text, auto&) {
    auto log = read_reading_log(text, "damaged", Tables::built_in());
    if (!is_honest(log)) CHECK(is_honest(log));
    require_sound(log);
    return log;
  });
  CHECK(outcomes.read + outcomes.refused == 10000);
  CHECK(outcomes.read > 500);
  CHECK(outcomes.refused > 500);
}
