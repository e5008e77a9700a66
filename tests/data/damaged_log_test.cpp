// SPDX-License-Identifier: MIT
// Logs with broken lines: each is named, the others are used, and no addition gets lost without a
// word.
#include "small_tables.hpp"

#include <counterion/formula/reading_log.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

using namespace counterion;
using test::tells;

namespace {

ReadingLog read(std::string_view text) {
  return read_reading_log(text, "log.csv", Tables::built_in());
}

const std::string head = "Time,Added,Strength,Grams,pH,Temperature,Note\n";

/// The readings after which nobody knows what is in the batch, by their lines.
std::vector<std::size_t> doubtful_lines(const ReadingLog& log) {
  std::vector<std::size_t> lines;
  for (const auto& line : log.lines)
    if (line.after_broken_addition) lines.push_back(line.place.line);
  return lines;
}

}  // namespace

TEST_CASE("a line with a broken pH still adds its grams") {
  const auto log =
      read(head + "9:00,,,,7.7,,\n9:05,NaOH 10 %,,0.5,7.O,,\n9:10,NaOH 10 %,,0.2,8.1,,\n");
  REQUIRE(log.lines.size() == 3);
  CHECK(log.lines[1].ingredient == "sodium-hydroxide-10");
  CHECK(log.lines[1].grams == 0.5);
  CHECK_FALSE(log.lines[1].ph);
  CHECK(log.lines[2].ph == 8.1);
  CHECK(doubtful_lines(log).empty());
  REQUIRE(log.problems.size() == 1);
  CHECK(tells(log.problems, "log.csv", 3, 5, "'7.O' as pH"));
  REQUIRE(log.broken.size() == 1);
  CHECK(log.broken[0].place == Place{"log.csv", 3, 0});
  CHECK(log.broken[0].text == "9:05,NaOH 10 %,,0.5,7.O,,");
  CHECK_THROWS_AS(require_sound(log), BadInput);
}

TEST_CASE("after an addition that nobody can read every reading is doubtful") {
  for (const std::string& line : std::initializer_list<std::string>{
           "9:05,NaOH 10 %,,o.5,7.9,,", "9:05,Na0H 10 %,,0.5,7.9,,", "9:05,NaOH,much,0.5,7.9,,",
           "9:05,NaOH 10 %,,,7.9,,", "9:05,NaOH 10 %,,0.5,7.9,,,,extra",
           "9:05,\"NaOH 10 %,,0.5,7.9,,", "9:05,\"NaOH\" 10 %,,0.5,7.9,,",
           "9:05;NaOH 10 %;;0.5;7.9;;", "9:05,NaOH 10 %,,-0.5,7.9,,"}) {
    CAPTURE(line);
    const auto log =
        read(head + "9:00,,,,7.7,,\n" + line + "\n9:10,NaOH 10 %,,0.2,8.1,,\n9:20,,,,8.0,,\n");
    CHECK(log.lines.front().ph == 7.7);
    CHECK_FALSE(log.lines.front().after_broken_addition);
    CHECK(log.lines.back().ph == 8.0);
    CHECK(log.lines.back().after_broken_addition);
    CHECK(log.lines[log.lines.size() - 2].grams == 0.2);
    CHECK(log.lines[log.lines.size() - 2].after_broken_addition);
    REQUIRE(log.broken.size() == 1);
    CHECK(log.broken[0].text == line);
    CHECK(log.problems.size() >= 1);
    CHECK(log.problems[0].place.line == 3);
  }
}

TEST_CASE("a strength nobody can read is not left out of account where nothing was added") {
  const auto log = read(head + "9:00,,strong,,7.7,,\n9:10,,,,8.1,,\n");
  CHECK(log.problems.size() == 1);
  CHECK(doubtful_lines(log).empty());
}

TEST_CASE(
    "where one stock is added by totals the next total makes good for a line that nobody can "
    "read") {
  auto log = read("# with: NaOH 10 %\nTotal g,pH\n0.1,5\no.3,6\n0.5,7\n");
  CHECK(doubtful_lines(log) == std::vector<std::size_t>{4});
  CHECK(log.lines.back().grams == 0.4);
  log = read("# with: NaOH 10 %\nTotal g,pH\n0.1,5\n3.0,6\n0.5,7\n0.6,7\n");  // 3.0 for 0.3: the
                                                                              // grams are wrong
  CHECK(doubtful_lines(log) == std::vector<std::size_t>{5, 6});
  log = read("Added,Total g,pH\nNaOH 10 %,0.1,5\nNaOH 10 %,o.3,6\nNaOH 10 %,0.5,7\n");
  CHECK(doubtful_lines(log) == std::vector<std::size_t>{3, 4});
}

TEST_CASE("a quote that is never closed takes no other line along") {
  const auto log = read(
      head +
      "9:00,,,,7.7,,\"slowly\n9:05,\"malic acid\",20,0.5,7.1,,\n9:10,,,,7.0,,\"a \"\"b\"\"\"\n");
  REQUIRE(log.lines.size() == 2);
  CHECK(log.lines[0].ingredient == "malic-acid");
  CHECK(log.lines[1].note == "a \"b\"");
  CHECK(tells(log.problems, "log.csv", 2, 7, "a quote that is never closed"));
}

TEST_CASE("a note of several lines is no broken quote") {
  const auto log = read(
      head + "9:00,,,,7.7,,\"slowly,\nthen fast\"\n\"9:05\nMonday\",malic acid,20,0.5,7.1,,\n");
  CHECK(log.problems.empty());
  REQUIRE(log.lines.size() == 2);
  CHECK(log.lines[0].note == "slowly,\nthen fast");
  CHECK(log.lines[1].grams == 0.5);
}

TEST_CASE("bytes that are no text break their own line, another encoding is read") {
  const std::string good = "9:00,Citronensäure Monohydrat,20,0.5,7.1,,\n";
  auto log = read(head + good + std::string("9:05,,,,7\0.0,,\n", 15) + "9:10,,,,6.9,,\n");
  CHECK(log.lines.size() == 2);
  CHECK(tells(log.problems, "log.csv", 3, 0, "bytes that are no text"));
  CHECK(log.broken.at(0).text == "9:05,,,,7\uFFFD.0,,");
  log = read(head + good + "9:05,,,,7.0,,lang\xE4m\n" + good);
  CHECK(log.problems.empty());
  CHECK(log.lines.at(1).note == "langäm");
  CHECK(log.lines.at(2).ingredient == "citric-acid-monohydrate");
}

TEST_CASE("lines with another delimiter are named, half of them are the fault of the whole") {
  const auto log =
      read("Time;Added;g;pH\n9:00;;;7,7\n9:05,NaOH 10 %,0.5,7.9\n9:10;;;7,8\n9:15;;;7,8\n");
  CHECK(tells(log.problems, "log.csv", 3, 0,
              "cells between ','; expected cells between ';' as in the header"));
  CHECK(log.lines.size() == 3);
  CHECK(doubtful_lines(log) == std::vector<std::size_t>{4, 5});
  CHECK_THROWS_WITH_AS(read("Time;Added;g;pH\n9:00,,,7.7\n9:05,NaOH 10 %,0.5,7.9\n9:10;;;7,8\n"),
                       doctest::Contains("in 2 of 3 lines below; expected one delimiter"),
                       BadInput);
  CHECK(read("pH;Note\n5,5\n5,6;cold\n").problems.empty());
}

TEST_CASE("the fault of a usual stock makes the lines that rest on it doubtful, and is told once") {
  const auto log = read("# with: NaOHH\ng,pH\n,5\n1,6\nx,7\n");
  CHECK(log.problems.size() == 2);
  CHECK(doubtful_lines(log) == std::vector<std::size_t>{4, 5});
  CHECK(log.broken.at(0).text == "# with: NaOHH");
}

TEST_CASE("faults of the whole are still no log") {
  for (const auto* text : {"", "Time,g\n9:00,1\n", "ml,pH\n1,5\n", "pH,pH-Wert\n5,6\n",
                           "Added,g,pH\nx,y,z\n", "Added,g,pH\n"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(read(text), BadInput);
  }
}

TEST_CASE("a line that ends early is said, since a cell may have been lost") {
  const auto log = read(head + "9:00,NaOH 10 %,0.5\n9:10,,,,7\n");
  CHECK(tells(log.problems, "log.csv", 2, 4, "no grams for"));
  CHECK(std::ranges::any_of(log.diagnostics, [](const auto& one) {
    return one.place.line == 2 && one.message.find("3 cells below a header of 7") == 0;
  }));
}

// ---- every line of sound logs damaged ----

namespace {

struct Sound {
  std::string head;
  std::vector<std::string> lines;
};

const std::vector<Sound> sound_logs{
    {"# batch: 500 g\nTime,Added,Strength,Grams,pH,Temp,Method,Dilution,Note\n",
     {"9:00,,,,4.1,22,meter,,", "9:05,NaOH 10 %,,0.25,4.8,,meter,,\"slow, cold\"",
      "9:10,Malic acid,20,1.5,4.4,21,strip 0.5,1+9,", "9:20,,,,4.5,,,10 %,later"}},
    {"# with: NaOH 10 %\nUhrzeit;Zugabe (g);pH-Wert;Bemerkung\n",
     {"10:00;0;4,1;Anfang", "10:05;0,32;4,9;langsam gerührt", "10:10;1,234;5,81;",
      "10:20;;5,8;\"kühl\""}},
    {"Date\tAdded\tg\tpH\n",
     {"2026-03-01\tNaOH 10 %\t0.5\t5.1", "2026-03-02\t\t\t5.0",
      "2026-03-09\tlactic acid 80 %\t0.2\t4.6"}}};

char delimiter_of(const Sound& log) {
  return log.head.find('\t') != std::string::npos  ? '\t'
         : log.head.find(';') != std::string::npos ? ';'
                                                   : ',';
}

std::vector<std::string> cells_of(const std::string& line, char delimiter) {
  std::vector<std::string> cells{""};
  for (const char c : line) c == delimiter ? cells.emplace_back() : cells.back() += c;
  return cells;
}

std::string joined(const std::vector<std::string>& cells, char delimiter) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i)
    line += (i > 0 ? std::string(1, delimiter) : "") + cells[i];
  return line;
}

/// One line with a cell left out, two swapped, cut off, or with bytes that do not belong there.
std::string damaged(std::string line, char delimiter, std::mt19937& random) {
  const auto pick = [&](std::size_t count) { return random() % count; };
  auto cells = cells_of(line, delimiter);
  constexpr std::string_view garbage("\"\"\xFF\xC3\x01\0;,\t#%x-", 13);
  switch (pick(6)) {
    case 0:
      cells.erase(cells.begin() + static_cast<std::ptrdiff_t>(pick(cells.size())));
      return joined(cells, delimiter);
    case 1:
      std::swap(cells[pick(cells.size())], cells[pick(cells.size())]);
      return joined(cells, delimiter);
    case 2:
      return line.substr(0, pick(line.size()));
    case 3:
      cells[pick(cells.size())] = std::string(1 + pick(3), garbage[pick(garbage.size())]);
      return joined(cells, delimiter);
    case 4:
      for (auto n = 1 + pick(4); n > 0; --n)
        line.insert(line.begin() + static_cast<std::ptrdiff_t>(pick(line.size() + 1)),
                    garbage[pick(garbage.size())]);
      return line;
    default:
      line[pick(line.size())] = static_cast<char>(pick(256));
      return line;
  }
}

/// A line end within a damaged line makes two of it.
bool is_one_line(const std::string& line) {
  return line.find_first_of("\r\n") == std::string::npos;
}

bool same(const LogLine& a, const LogLine& b) {
  return a.ingredient == b.ingredient && a.stock_percent == b.stock_percent && a.grams == b.grams &&
         a.ph == b.ph && a.temperature_celsius == b.temperature_celsius && a.method == b.method &&
         a.note == b.note && a.dilution_product_g == b.dilution_product_g &&
         a.dilution_water_g == b.dilution_water_g;
}

struct Counts {
  std::size_t logs = 0, sound_lines = 0, kept = 0, named = 0, silent = 0;
};

/// Damages one line of a log and looks for all the others.
void damage(const Sound& sound, std::mt19937& random, Counts& counts) {
  const auto which = random() % sound.lines.size();
  std::string whole = sound.head, text = sound.head;
  std::string line;
  do line = damaged(sound.lines[which], delimiter_of(sound), random);
  while (!is_one_line(line));
  for (std::size_t i = 0; i < sound.lines.size(); ++i)
    whole += sound.lines[i] + "\n", text += (i == which ? line : sound.lines[i]) + "\n";
  const auto before = read(whole), after = read(text);
  ++counts.logs;
  for (std::size_t i = 0; i < before.lines.size(); ++i) {
    if (i == which) continue;
    ++counts.sound_lines;
    const auto found = std::ranges::find(after.lines, before.lines[i].place, &LogLine::place);
    const bool kept = found != after.lines.end() && same(*found, before.lines[i]);
    counts.kept += kept;
    if (!kept) {
      CAPTURE(text);
      CHECK(kept);
    }
  }
  (after.problems.empty() ? counts.silent : counts.named)++;
  const auto damaged_line = before.lines[which].place.line;
  for (const auto& problem : after.problems)
    if (problem.place.line != damaged_line) CHECK(problem.place.line == damaged_line);
}

}  // namespace

TEST_CASE("one damaged line costs no other line") {
  std::mt19937 random(20261130);
  Counts counts;
  for (int round = 0; round < 6000; ++round)
    damage(sound_logs[random() % sound_logs.size()], random, counts);
  MESSAGE(counts.logs, " logs, ", counts.kept, " of ", counts.sound_lines, " sound lines kept, ",
          counts.named, " damaged lines named, ", counts.silent, " still mean something");
  CHECK(counts.logs == 6000);
  CHECK(counts.kept == counts.sound_lines);
  CHECK(counts.sound_lines > 12000);
  CHECK(counts.named > 1000);
}
