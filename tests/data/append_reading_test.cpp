// SPDX-License-Identifier: MIT
#include <counterion/formula/reading_log.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <random>
#include <thread>

using namespace counterion;

namespace {

/// A new folder that goes when the test ends.
class Folder {
 public:
  Folder()
      : path_(std::filesystem::temp_directory_path() /
              ("counterion-log-" + std::to_string(std::random_device()()))) {
    std::filesystem::create_directories(path_);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::filesystem::path file(const std::string& bytes) const {
    const auto path = path_ / "log.csv";
    std::ofstream(path, std::ios::binary) << bytes;
    return path;
  }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream stream(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

LogLine append(const std::filesystem::path& path, const NewReading& reading) {
  return append_reading(path, reading, Tables::built_in());
}

NewReading addition(const std::string& name, double grams, double ph) {
  NewReading reading;
  reading.added = name, reading.grams = grams, reading.ph = ph;
  return reading;
}

NewReading reading_of(double ph) {
  NewReading reading;
  reading.ph = ph;
  return reading;
}

/// What was put behind the text of a file.
std::string appended(const std::string& before, const NewReading& reading) {
  const Folder folder;
  const auto path = folder.file(before);
  append(path, reading);
  const auto after = bytes_of(path);
  REQUIRE(after.starts_with(before));
  return after.substr(before.size());
}

void is_refused(const std::string& before, const NewReading& reading, const char* words) {
  CAPTURE(before);
  CAPTURE(words);
  const Folder folder;
  const auto path = folder.file(before);
  CHECK_THROWS_WITH_AS(append(path, reading), doctest::Contains(words), BadInput);
  CHECK(bytes_of(path) == before);
}

}  // namespace

TEST_CASE("a log that is not there is made with a header") {
  const Folder folder;
  const auto path = folder.path() / "new.csv";
  NewReading reading = addition("citric acid monohydrate", 0.5, 5.6);
  reading.time = "2026-03-01 14:05", reading.strength_percent = 20,
  reading.temperature_celsius = 22.5;
  reading.method = "meter-two-points", reading.dilution = "10 g in 90 g",
  reading.note = "slow, \"cold\"";
  const auto line = append(path, reading);
  CHECK(bytes_of(path) ==
        "Time,Added,Strength,Grams,pH,Temperature,Method,Dilution,Note\n"
        "2026-03-01 14:05,citric acid monohydrate,20,0.5,5.6,22.5,meter-two-points,10 g in 90 "
        "g,\"slow, \"\"cold\"\"\"\n");
  CHECK(line.ingredient == "citric-acid-monohydrate");
  CHECK(line.stock_percent == 20);
  CHECK(line.grams == 0.5);
  CHECK(line.method == "meter-two-points");
  CHECK(line.dilution_water_g == 90);
  CHECK(line.note == "slow, \"cold\"");
  append(path, reading_of(5.5));
  CHECK(read_reading_log_file(path, Tables::built_in()).lines.size() == 2);
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);
}

TEST_CASE("a line goes on in the log's own dialect") {
  const auto reading = addition("NaOH 10 %", 1.25, 5.5);
  CHECK(appended("Added,g,pH\n", reading) == "NaOH 10 %,1.25,5.5\n");
  CHECK(appended("Added;g;pH\n;;7,74\n", reading) == "NaOH 10 %;1,25;5,5\n");
  CHECK(appended("\xEF\xBB\xBFpH\tg\tAdded\r\n7.74\t\t\r\n", reading) ==
        "5.5\t1.25\tNaOH 10 %\r\n");
  CHECK(appended("Added,g,pH\r\rMalic acid,1,5\r", reading) == "NaOH 10 %,1.25,5.5\r");
  CHECK(appended("Added,\"g\",pH\nMalic acid,\"1,5\",\"5,1\"\n", reading) ==
        "NaOH 10 %,\"1,25\",\"5,5\"\n");
  CHECK(appended("Zugabe;Menge (kg);pH\nMalic acid;0,0015;5,1\n", reading) ==
        "NaOH 10 %;0,00125;5,5\n");
  CHECK(appended("Titration\n\n# batch: 500 g\nWeather;Added;g;pH;x\n", reading) ==
        ";NaOH 10 %;1.25;5.5;\n");
}

TEST_CASE("a last line without its end is ended first") {
  CHECK(appended("Added,g,pH\nNaOH 10 %,1,5", reading_of(5.5)) == "\n,,5.5\n");
  CHECK(appended("Added,g,pH\r\nNaOH 10 %,1,5", reading_of(5.5)) == "\r\n,,5.5\r\n");
  CHECK(appended("Added,g,pH", reading_of(5.5)) == "\n,,5.5\n");
}

TEST_CASE("other encodings go on as they are") {
  std::string wide = "\xFF\xFE";
  for (const char c : std::string("Added\tg\tpH\r\n")) wide += {c, '\0'};
  std::string expected;
  for (const char c : std::string("NaOH 10 %\t1.25\t5.5\r\n")) expected += {c, '\0'};
  CHECK(appended(wide, addition("NaOH 10 %", 1.25, 5.5)) == expected);
  const std::string old = "Zugabe;St\xE4rke;g;pH\nMilchs\xE4ure;80;0,5;6,1\n";
  CHECK(appended(old, addition("Natronlauge 10 %", 1, 6)) == "Natronlauge 10 %;;1;6\n");
  auto umlaut = addition("Milchsäure 80 %", 1, 6);
  CHECK(appended(old, umlaut) == "Milchs\xE4ure 80 %;;1;6\n");
}

TEST_CASE("a total goes on, beside the grams or alone") {
  CHECK(appended("# with: NaOH 10 %\nTotal g,pH\n0.1,5\n0.3,6\n", addition("", 0.2, 7)) ==
        "0.5,7\n");
  CHECK(appended("Added,g,Total g,pH\nNaOH 10 %,0.1,0.1,5\n", addition("NaOH 10 %", 0.2, 7)) ==
        "NaOH 10 %,0.2,0.3,7\n");
  is_refused("# with: NaOH 10 %\nTotal g,pH\n0.1,5\nx,6\n", addition("", 0.2, 7),
             "totals of grams after lines with faults");
}

TEST_CASE("a log of one stock needs no name of it, and takes no other") {
  const std::string log = "# with: NaOH 10 %\ng,pH\n1,5\n";
  CHECK(appended(log, addition("", 0.5, 6)) == "0.5,6\n");
  CHECK(appended(log, addition("10 %ige Natronlauge", 0.5, 6)) == "0.5,6\n");
  is_refused(log, addition("Malic acid", 0.5, 6), "in a log whose lines are of 'NaOH 10 %'");
  is_refused("g,pH\n,5\n", addition("", 0.5, 6), "grams of nothing that has a name");
}

TEST_CASE("what the log has no column for is refused, and nothing is written") {
  const std::string log = "Added,g,pH\nNaOH 10 %,1,5\n";
  auto reading = reading_of(5);
  reading.temperature_celsius = 20;
  is_refused(log, reading, "a temperature, for which the log has no column");
  reading = reading_of(5);
  reading.method = "strip", reading.dilution = "1+9", reading.note = "cold", reading.time = "9:00";
  for (const auto* words : {"a method, for", "a dilution, for", "a note, for", "time, for"})
    is_refused(log, reading, words);
  is_refused("pH\n5\n", addition("NaOH 10 %", 1, 5), "grams, for which the log has no column");
  is_refused("Time,g\n9:00,1\n", reading_of(5), "a column of pH readings");
}

TEST_CASE("values that mean nothing are refused together") {
  const Folder folder;
  const auto path = folder.path() / "log.csv";
  NewReading reading;
  CHECK_THROWS_WITH_AS(append(path, reading), doctest::Contains("neither a pH nor grams"),
                       BadInput);
  reading.ph = 15, reading.grams = -1, reading.temperature_celsius = 200,
  reading.strength_percent = 120;
  reading.method = "by eye", reading.dilution = "some", reading.note = std::string("a\0b", 3);
  try {
    append(path, reading);
    FAIL("written");
  } catch (const BadInput& error) {
    CHECK(error.problems().size() == 7);
  }
  for (const double value :
       {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(), -0.1})
    CHECK_THROWS_AS(append(path, reading_of(value)), BadInput);
  CHECK_THROWS_AS(append(path, addition("NaOHH", 1, 5)), BadInput);
  auto name_alone = reading_of(5);
  name_alone.added = "NaOH 10 %";
  CHECK_THROWS_WITH_AS(append(path, name_alone), doctest::Contains("no grams for 'NaOH 10 %'"),
                       BadInput);
  CHECK_FALSE(std::filesystem::exists(path));
  auto remark = reading_of(5);
  remark.time = "# 5";
  is_refused("Time,pH\n9:00,5\n", remark, "would not read back");
  remark.time = "total";
  remark.note = "a\nb";
  CHECK(appended("Time,pH,Note\n9:00,5,\n", remark) == "total,5,a b\n");
}

TEST_CASE("a folder and a file of another kind are refused") {
  const Folder folder;
  CHECK_THROWS_WITH_AS(append(folder.path(), reading_of(5)), doctest::Contains("a folder"),
                       BadInput);
  CHECK_THROWS_WITH_AS(append(folder.path() / "none" / "log.csv", reading_of(5)),
                       doctest::Contains("cannot be made"), BadInput);
  is_refused("PK\x03\x04xyz", reading_of(5), "save the sheet as CSV");
  is_refused("", reading_of(5), "no lines");
}

TEST_CASE("a log with broken lines goes on, its lines as they stand") {
  CHECK(appended("Added,g,pH\nNaOH 10 %,x,5\n,,6\n", reading_of(5.5)) == ",,5.5\n");
  CHECK(appended("Added,g,pH\n,,6\n\"NaOH 10 %,1,5\n", reading_of(5.5)) == ",,5.5\n");
}

TEST_CASE("two who write at once both have their lines, also where both make the file") {
  const Folder folder;
  const auto path = folder.path() / "log.csv";
  constexpr int each = 20;
  const auto write = [&](double first) {
    for (int i = 0; i < each; ++i) append(path, reading_of(first + 0.1 * i));
  };
  std::thread one(write, 3), other(write, 8);
  one.join(), other.join();
  const auto log = read_reading_log_file(path, Tables::built_in());
  CHECK(log.lines.size() == 2 * each);
  CHECK(log.problems.empty());
  const auto count = [&](bool low) {
    return std::ranges::count_if(log.lines,
                                 [&](const LogLine& line) { return (line.ph < 6) == low; });
  };
  CHECK(count(true) == each);
  CHECK(count(false) == each);
}
