// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <counterion/formula/reading_log.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>

using namespace counterion;
using test::tells;

namespace {

ReadingLog read(std::string_view text) {
  return read_reading_log(text, "log.csv", Tables::built_in());
}

std::vector<Problem> problems_of(std::string_view text) {
  try {
    require_sound(read(text));
  } catch (const BadInput& error) {
    return error.problems();
  }
  return {};
}

bool says(const ReadingLog& log, const std::string& words) {
  return std::ranges::any_of(log.diagnostics, [&](const auto& diagnostic) {
    return diagnostic.message.find(words) != std::string::npos;
  });
}

/// The first thing that was added in a log of this line below "Added,Strength,Grams,pH".
LogLine one_line(const std::string& line) {
  return read("Added,Strength,Grams,pH\n" + line + "\n").lines.at(0);
}

void is_stock(const LogLine& line, const std::string& id, std::optional<double> percent) {
  CAPTURE(line.added);
  CHECK(line.ingredient == id);
  CHECK(line.stock_percent == percent);
}

const std::string head = "Added,Grams,pH\n";

}  // namespace

TEST_CASE("a line of a log says what was weighed in and what the meter showed then") {
  const auto log = read(
      "Time,Added,Strength,Grams,pH,Temp (°C),Note\n"
      "09:10,,,,7.74,22,\n"
      "09:20,Malic acid,20,0.5,7.1,22.5,stirred\n"
      "09:30,,,,7.0,,\n");
  REQUIRE(log.lines.size() == 3);
  const auto& first = log.lines[0];
  CHECK(first.time == "09:10");
  CHECK(first.added.empty());
  CHECK(first.ingredient.empty());
  CHECK_FALSE(first.grams);
  CHECK(first.ph == 7.74);
  CHECK(first.temperature_celsius == 22);
  const auto& second = log.lines[1];
  CHECK(second.added == "Malic acid");
  CHECK(second.ingredient == "malic-acid");
  CHECK(second.stock_percent == 20);
  CHECK(second.grams == 0.5);
  CHECK(second.ph == 7.1);
  CHECK(second.note == "stirred");
  CHECK(second.place == Place{"log.csv", 3, 0});
  CHECK_FALSE(log.lines[2].grams);
  CHECK_FALSE(log.lines[2].temperature_celsius);
  CHECK(log.diagnostics.empty());
}

TEST_CASE("grams without a reading and readings without grams are lines of their own") {
  const auto log = read(head + "NaOH 10 %,0.4,\n,,6.1\n");
  REQUIRE(log.lines.size() == 2);
  CHECK(log.lines[0].grams == 0.4);
  CHECK_FALSE(log.lines[0].ph);
  CHECK(log.lines[1].ph == 6.1);
}

TEST_CASE("a log is read in all dialects of formulas") {
  const std::string umlaut = "Citronensäure Monohydrat";
  for (const std::string& text : std::initializer_list<std::string>{
        "Zugabe;Stärke;Menge (g);pH\n" + umlaut + ";20;1,25;5,50\n",
        "\xEF\xBB\xBFZugabe\tStärke %\tg\tpH-Wert\r\n" + umlaut + "\t20 %\t1,25\tpH 5,5\r\n",
        "Added,Stock %,\"Weighed, g\",pH reading\n\"" + umlaut + "\",20,\"1,25\",\"5,50\"\n",
        "pH,g,Strength,Name\n5.50,1.25,20,\"" + umlaut + "\"\n",
        "Ajouté;Concentration;Masse (mg);pH mesuré\n" + umlaut + ";20;1250;5,5\n",
        "\n\nTitration vom Montag;;;\nZugabe;Konz. %;Einwaage;pH\n;;;\n" + umlaut + ";20;1.25 g;5.5\n"}) {
    CAPTURE(text);
    const auto log = read(text);
    REQUIRE(log.lines.size() == 1);
    CHECK(log.lines[0].ingredient == "citric-acid-monohydrate");
    CHECK(log.lines[0].stock_percent == 20);
    CHECK(log.lines[0].grams == doctest::Approx(1.25));
    CHECK(log.lines[0].ph == 5.5);
  }
}

TEST_CASE("UTF-16 and Windows-1252 logs are read") {
  const std::string plain = "Zugabe;g;pH\nNatronlauge 10 %;0,5;6,1\n";
  std::string wide = "\xFF\xFE";
  for (const char c : plain) wide += {c, '\0'};
  CHECK(read(wide).lines.at(0).ingredient == "sodium-hydroxide-10");
  const auto log = read("Zugabe;St\xE4rke;g;pH\nMilchs\xE4ure;80;0,5;6,1\n");
  CHECK(log.lines.at(0).ingredient == "lactic-acid-80");
  CHECK(says(log, "Windows-1252"));
}

TEST_CASE("a German log with heads, decimal commas and a usual stock") {
  const auto log = read(
      "# Probe: 50,5 g\n# Ansatz: 0,5 kg\n# Mit: Citronensäure 20 %\n# Gerät: Elektrode 3\n"
      "Uhrzeit;Zugabe (g);pH-Wert;Temperatur;Bemerkung\n"
      "10:00;0;7,74;21,5 °C;\n"
      "10:05;0,32;6,90;;langsam\n"
      "10:10;1,234;5,81;;\n");
  CHECK(log.sample_g == 50.5);
  CHECK(log.batch_g == 500);
  CHECK(log.header.at("sample") == "50,5 g");
  CHECK(log.header.at("batch") == "0,5 kg");
  CHECK(log.header.at("with") == "Citronensäure 20 %");
  CHECK(log.header.at("gerät") == "Elektrode 3");
  REQUIRE(log.lines.size() == 3);
  CHECK_FALSE(log.lines[0].grams);
  CHECK(log.lines[0].ingredient.empty());
  CHECK(log.lines[0].temperature_celsius == 21.5);
  CHECK(log.lines[1].grams == 0.32);
  CHECK(log.lines[1].added == "Citronensäure 20 %");
  CHECK(log.lines[1].ingredient == "citric-acid-20");
  CHECK(log.lines[1].stock_percent == 100);
  CHECK(log.lines[1].note == "langsam");
  CHECK(log.lines[2].grams == 1.234);
  CHECK(log.lines[2].ph == 5.81);
}

TEST_CASE("a total so far becomes what was added since the line before") {
  for (const auto* total : {"Total grams", "total (g)", "Cumulative g", "Summe (g)", "Gesamt g",
                            "Zugabe kumuliert (g)", "Total ajouté (g)", "g added so far in total"}) {
    CAPTURE(total);
    const auto log = read("# with: NaOH 10 %\n" + std::string(total) +
                          ",pH\n0,4.1\n0.1,4.8\n0.3,5.5\n0.3,5.4\n,5.4\n1.2,6.0\n");
    REQUIRE(log.lines.size() == 6);
    CHECK_FALSE(log.lines[0].grams);
    CHECK(log.lines[1].grams == 0.1);
    CHECK(log.lines[2].grams == 0.2);
    CHECK_FALSE(log.lines[3].grams);
    CHECK_FALSE(log.lines[4].grams);
    CHECK(log.lines[5].grams == 0.9);
    CHECK(log.lines[5].ingredient == "sodium-hydroxide-10");
  }
}

TEST_CASE("a total in kilograms or milligrams") {
  auto log = read("# with: NaOH 10 %\nTotal (kg);pH\n0,0015;4,8\n0,002;5,1\n");
  CHECK(log.lines.at(0).grams == 1.5);
  CHECK(log.lines.at(1).grams == 0.5);
  log = read("# with: NaOH 10 %\nTotal g;pH\n150 mg;4,8\n0,2;5,1\n");
  CHECK(log.lines.at(1).grams == 0.05);
}

TEST_CASE("a total that falls, or runs over two things, is told") {
  CHECK(tells(problems_of("# with: NaOH 10 %\nTotal g,pH\n0.5,5\n0.4,5\n"), "log.csv", 4, 1,
              "a total of 0.4 g after 0.5 g; expected a total that does not fall"));
  CHECK(tells(problems_of("Added,Total g,pH\nNaOH 10 %,0.5,5\nMalic acid,0.8,5\n"), "log.csv", 3, 2,
              "a total over two things"));
}

TEST_CASE("grams and their total are held against each other") {
  const std::string columns = "Added,g,Total g,pH\n";
  CHECK(read(columns + "NaOH 10 %,0.5,0.5,5\nMalic acid,0.25,0.75,4.8\n").diagnostics.empty());
  const auto log = read(columns + "NaOH 10 %,0.5,0.5,5\nNaOH 10 %,0.2,0.8,5.2\n");
  CHECK(log.lines.at(1).grams == 0.2);
  CHECK(says(log, "the stated total, 0.8 g, is not the sum so far, 0.7 g"));
}

TEST_CASE("a name with a strength of its own in the tables is taken as supplied") {
  is_stock(one_line("citric acid 20 %,,1,5"), "citric-acid-20", 100);
  is_stock(one_line("20% citric acid,,1,5"), "citric-acid-20", 100);
  is_stock(one_line("citric acid,20,1,5"), "citric-acid-20", 100);
  is_stock(one_line("citric acid 20 %,20,1,5"), "citric-acid-20", 100);
  is_stock(one_line("NaOH 10%,,1,5"), "sodium-hydroxide-10", 100);
  is_stock(one_line("NaOH,10 %,1,5"), "sodium-hydroxide-10", 100);
  is_stock(one_line("10 %ige Natronlauge,,1,5"), "sodium-hydroxide-10", 100);
  is_stock(one_line("acide citrique en solution à 20%,,1,5"), "citric-acid-20", 100);
  is_stock(one_line("citroenzuuroplossing 20%,,1,5"), "citric-acid-20", 100);
  is_stock(one_line("lactic acid 80 %,,1,5"), "lactic-acid-80", 100);
  is_stock(one_line("lactic-acid-80,80,1,5"), "lactic-acid-80", 100);
}

TEST_CASE("another strength is the stock's, also of a material that is a solution as supplied") {
  is_stock(one_line("NaOH 8 %,,1,5"), "sodium-hydroxide", 8);
  is_stock(one_line("\"NaOH 2,5 %\",,1,5"), "sodium-hydroxide", 2.5);
  is_stock(one_line("citric acid monohydrate,20,1,5"), "citric-acid-monohydrate", 20);
  is_stock(one_line("citric acid monohydrate 20 %,,1,5"), "citric-acid-monohydrate", 20);
  is_stock(one_line("lactic acid 80 %,10,1,5"), "lactic-acid-80", 10);
  is_stock(one_line("sodium-hydroxide-50,10,1,5"), "sodium-hydroxide-50", 10);
  is_stock(one_line("malic acid,,1,5"), "malic-acid", std::nullopt);
  CHECK(tells(problems_of("Added,Strength,g,pH\nNaOH 8 %,12,1,5\n"), "log.csv", 2, 1,
              "'NaOH 8 %' beside a strength of 12 %; expected one strength"));
}

TEST_CASE("a name that may mean several materials is told with their names, each of which is read") {
  for (const auto* written : {"citric acid", "citric acid 10 %", "lactic acid", "lactic acid 85 %"}) {
    const std::string name = written;
    CAPTURE(name);
    const auto problems = problems_of(head + name + ",1,5\n");
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].place == Place{"log.csv", 2, 1});
    CHECK(problems[0].found == "'" + name + "' may be several materials");
    REQUIRE(problems[0].suggestions.size() >= 2);
    for (const auto& suggestion : problems[0].suggestions) {
      CAPTURE(suggestion);
      CHECK(problems_of(head + "\"" + suggestion + "\",1,5\n").empty());
    }
  }
  CHECK(problems_of(head + "citric acid 10 %,1,5\n")[0].suggestions.back() ==
        "Citric acid monohydrate 10 %");
}

TEST_CASE("an unknown name is told with the nearest that are known") {
  const auto problems = problems_of(head + "Malik acid,1,5\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place == Place{"log.csv", 2, 1});
  CHECK(problems[0].found == "no ingredient is called 'Malik acid'");
  REQUIRE_FALSE(problems[0].suggestions.empty());
  CHECK(problems[0].suggestions[0] == "Malic Acid");
}

TEST_CASE("the usual stock is told once where it is at fault, and a strength may stand beside it") {
  auto problems = problems_of("# with: NaOHH\ng,pH\n1,5\n2,6\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place == Place{"log.csv", 1, 0});
  CHECK(tells(problems_of("# with: NaOHH\npH\n5\n"), "log.csv", 1, 0, "'NaOHH'"));
  const auto log = read("# with: citric acid\nStrength,g,pH\n50,1,5\n");
  CHECK(log.lines.at(0).ingredient == "citric-acid-50");
  problems = problems_of("# with: NaOH 10 %\n# with: NaOH 20 %\ng,pH\n1,5\n");
  CHECK(tells(problems, "log.csv", 2, 0, "a second 'with'"));
}

TEST_CASE("a name on the line goes before the usual one") {
  const auto log = read("# with: NaOH 10 %\nAdded,g,pH\n,1,5\nMalic acid,1,4\n-,1,5\n");
  CHECK(log.lines.at(0).ingredient == "sodium-hydroxide-10");
  CHECK(log.lines.at(1).ingredient == "malic-acid");
  CHECK(log.lines.at(2).added == "NaOH 10 %");
}

TEST_CASE("grams without any name are told with what would help") {
  CHECK(tells(problems_of("g,pH\n1,5\n"), "log.csv", 2, 1,
              "grams of nothing that has a name; expected what was added, on the line or in a line such as "
              "'# with: citric acid 20 %'"));
}

TEST_CASE("where nothing was added the word for it is kept as a note") {
  const auto log = read(head + "Start,,7.1\nnothing,0,7.0\n-,-,7.0\nKeine,,6.9\n");
  REQUIRE(log.lines.size() == 4);
  for (const auto& line : log.lines) {
    CHECK(line.added.empty());
    CHECK(line.ingredient.empty());
    CHECK_FALSE(line.grams);
  }
  CHECK(log.lines[0].note == "Start");
  CHECK(log.lines[2].note.empty());
}

TEST_CASE("a sum below the lines is not weighed in again") {
  const auto log = read("# with: NaOH 10 %\nZeit;g;pH\n9:00;0,5;5\n9:10;0,7;6\nSumme;1,2;\n");
  CHECK(log.lines.size() == 2);
  CHECK(says(log, "a line of totals is not read"));
  CHECK(read(head + "NaOH 10 %,0.5,5\nTotal,0.5,\n").lines.size() == 1);
}

TEST_CASE("a name without grams is told") {
  CHECK(tells(problems_of(head + "NaOH 10 %,,5\n"), "log.csv", 2, 2,
              "no grams for 'NaOH 10 %'; expected the grams that were weighed in, 0 where nothing was"));
  CHECK(tells(problems_of("Added,pH\nNaOH 10 %,5\n"), "log.csv", 2, 0, "no grams for"));
}

TEST_CASE("what else a log holds goes on in its notes") {
  const auto log = read(
      "Date,Time,Weather,pH,pH (10 %),Remark,Note\n"
      "1 May,09:00,hot,5.5,5.9,cloudy,cold\n1 May,09:05,,5.4,,,\n");
  REQUIRE(log.lines.size() == 2);
  CHECK(log.lines[0].time == "1 May 09:00");
  CHECK(log.lines[0].ph == 5.5);
  CHECK(log.lines[0].note == "cloudy; cold; Weather: hot; pH (10 %): 5.9");
  CHECK(log.lines[1].note.empty());
  CHECK(says(log, "the column 'Weather' is kept as a note"));
  CHECK(says(log, "the column 'pH (10 %)' is kept as a note"));
}

TEST_CASE("a weight without unit is grams, which is said") {
  CHECK(says(read("Added,Amount,pH\nNaOH 10 %,1,5\n"), "the column 'Amount' states no unit and is taken as grams"));
  const auto log = read("Added,Amount,pH\nNaOH 10 %,1.5 kg,5\nNaOH 10 %,20 mg,5\n");
  CHECK(log.diagnostics.empty());
  CHECK(log.lines.at(0).grams == 1500);
  CHECK(log.lines.at(1).grams == doctest::Approx(0.02));
}

TEST_CASE("volumes, and amounts of what is not clear, are no grams") {
  CHECK(tells(problems_of("# with: NaOH 10 %\nml,pH\n1,5\n"), "log.csv", 2, 1,
              "the column 'ml' is no mass; expected grams"));
  CHECK(tells(problems_of("mL NaOH,pH\n1,5\n"), "log.csv", 1, 1, "is no mass"));
  for (const auto* written : {"NaOH 10 % (g)", "%", "Batch (g)", "Sample g", "Strength (mol/l)", "Strength (g/l)", "c (mol/l)"}) {
    const std::string column = written;
    CAPTURE(column);
    CHECK(tells(problems_of("pH," + column + "\n5,1\n"), "log.csv", 1, 2,
                "the column '" + column + "' may mean several things"));
  }
  CHECK(tells(problems_of(head + "NaOH 0.1 M,1,5\n"), "log.csv", 2, 1, "strengths in percent by weight"));
  CHECK(tells(problems_of("Added,Strength,g,pH\nNaOH,0.1 M,1,5\n"), "log.csv", 2, 2, "'0.1 M' as strength"));
  CHECK(tells(problems_of(head + "NaOH 10 %,1 ml,5\n"), "log.csv", 2, 2, "neither percent nor grams"));
}

TEST_CASE("two columns of the same are told") {
  CHECK(tells(problems_of("pH,pH-Wert\n5,6\n"), "log.csv", 1, 2, "the column 'pH-Wert' beside 'pH'"));
  CHECK(tells(problems_of("g,Added (g),pH\n1,1,6\n"), "log.csv", 1, 2, "the column 'Added (g)' beside 'g'"));
}

TEST_CASE("all faults of a log are told at once, in the order of its lines") {
  const auto problems = problems_of(
      "# batch: five\n"
      "Added;Strength;g;pH;T (°C)\n"
      "NaOH 10 %;;-1;14,2;22\n"
      "NaOH;120;1;5;hot\n"
      "NaOH 110 %;;1;5-6;300\n"
      "nobody's acid;;much;acid;72 F\n"
      "Malic acid;20;q.s.;-1;\n"
      "Malic acid;20;5 %;5;;;7\n"  // cells in excess: nobody knows which is which
  );
  const auto told = [&](std::size_t line, std::size_t column, const std::string& words) {
    CAPTURE(words);
    CHECK(tells(problems, "log.csv", line, column, words));
  };
  told(1, 0, "'five' as batch");
  told(3, 3, "'-1' is negative; expected grams, 0 or more");
  told(3, 4, "'14,2' as pH; expected one reading from 0 to 14");
  told(4, 2, "'120' as strength; expected a number above 0 and at most 100 %");
  told(4, 5, "'hot' as temperature; expected a temperature of 0 to 100 °C");
  told(5, 1, "'NaOH 110 %' has a strength of 110 %");
  told(5, 4, "'5-6' as pH");
  told(5, 5, "'300' as temperature");
  told(6, 1, "no ingredient is called 'nobody's acid'");
  told(6, 3, "'much' is no number");
  told(6, 4, "'acid' as pH");
  told(6, 5, "'72 F' as temperature");
  told(7, 3, "'q.s.' as what was weighed in");
  told(7, 4, "'-1' as pH");
  told(8, 7, "7 cells below a header of 5");
  CHECK(problems.size() == 15);
  CHECK(std::ranges::is_sorted(problems, {}, [](const auto& one) { return one.place.line; }));
}

TEST_CASE("a table without pH is told with its columns and what is needed") {
  const auto problems = problems_of("Titration\nTime;Added;g\n9:00;NaOH 10 %;1\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place == Place{"log.csv", 2, 0});
  CHECK(problems[0].found == "columns 'Time', 'Added', 'g'");
  CHECK(problems[0].expected.find("a column of pH readings (pH, pH value or pH-Wert)") == 0);
}

TEST_CASE("nothing to read is told") {
  for (const auto* text : {"", "\n\n", "# with: NaOH 10 %\n"}) {
    CHECK(tells(problems_of(text), "log.csv", 0, 0, "no lines; expected a header line"));
  }
  CHECK(tells(problems_of(head), "log.csv", 0, 0, "no lines; expected at least one line"));
}

TEST_CASE("what is no text, too much, and quotes that never close are told") {
  CHECK(tells(problems_of(std::string("pH\0,g\n", 6)), "log.csv", 1, 0, "no text"));
  CHECK(tells(problems_of("PK\x03\x04xyz"), "log.csv", 1, 0, "save the sheet as CSV"));
  CHECK_FALSE(problems_of(std::string("\xFF\xFE\x00\xD8", 4)).empty());
  CHECK_FALSE(problems_of("{\"items\": []}").empty());
  CHECK(tells(problems_of(head + "\"NaOH 10 %,1,5\n"), "log.csv", 2, 1, "never closed"));
  CHECK_THROWS_AS(read(head + "\"NaOH 10 %,1,5\n"), BadInput);
  CHECK(tells(problems_of(std::string(11 * 1024 * 1024, 'a')), "log.csv", 0, 0, "a log of at most 10 MB"));
  std::string many = "pH\n";
  for (int i = 0; i < 1001; ++i) many += "5\n";
  CHECK(tells(problems_of(many), "log.csv", 0, 0, "1001 lines; expected at most 1000"));
  CHECK(tells(problems_of(head + std::string(300, 'a') + ",1,5\n"), "log.csv", 2, 1, "a name of 300 bytes"));
  CHECK(tells(problems_of(head + "NaOH 10 %,1e300 kg,5\n"), "log.csv", 2, 2, "as what was weighed in"));
}

TEST_CASE("a number that can be read in two ways is told") {
  CHECK(tells(problems_of("Added;g;pH\nNaOH 10 %;1,250;6.5\n"), "log.csv", 2, 2, "two ways"));
  CHECK(read("Added;g;pH\nNaOH 10 %;1,250;6,5\n").lines.at(0).grams == 1.25);
}

TEST_CASE("a log is read from a file, which must be one") {
  const auto folder = std::filesystem::temp_directory_path();
  const auto path = folder / "counterion_reading_log_test.csv";
  std::ofstream(path) << head << "NaOH 10 %,1,5\n";
  CHECK(read_reading_log_file(path, Tables::built_in()).lines.at(0).place.file == path.string());
  std::filesystem::remove(path);
  CHECK_THROWS_AS(read_reading_log_file(path, Tables::built_in()), BadInput);
  CHECK_THROWS_AS(read_reading_log_file(folder, Tables::built_in()), BadInput);
}

namespace {

/// The line of a log with this method, or this dilution, or this time.
LogLine line_with(const std::string& column, const std::string& cell) {
  return read(column + ";pH\n\"" + cell + "\";5,5\n").lines.at(0);
}

struct Stirred {
  const char* written;
  double product_g, water_g;
};

/// Days since the first of these times, one a line.
std::vector<std::optional<double>> ages_of(const std::string& above, const std::vector<std::string>& times) {
  std::string text = above + "Time;pH\n";
  for (const auto& time : times) text += time + ";5,5\n";
  std::vector<std::optional<double>> ages;
  for (const auto& line : read(text).lines) ages.push_back(line.age_days);
  return ages;
}

void have_ages(const std::vector<std::string>& times, const std::vector<double>& days, const std::string& above = {}) {
  CAPTURE(times.front());
  CAPTURE(times.back());
  const auto ages = ages_of(above, times);
  REQUIRE(ages.size() == days.size());
  for (std::size_t i = 0; i < days.size(); ++i) {
    CAPTURE(i);
    REQUIRE(ages[i]);
    CHECK(*ages[i] == doctest::Approx(days[i]).epsilon(1e-9));
  }
}

}  // namespace

TEST_CASE("with what a pH was read is understood in three languages") {
  const std::vector<std::pair<std::string, std::string>> methods{
      {"strip", "strip"},
      {"pH strips", "strip"},
      {"Teststreifen", "strip"},
      {"pH-Papier", "strip"},
      {"bandelette", "strip"},
      {"papier pH", "strip"},
      {"meter", "meter"},
      {"pH meter", "meter"},
      {"pH-Meter", "meter"},
      {"pH-mètre", "meter"},
      {"Elektrode", "meter"},
      {"meter, calibrated", "meter"},
      {"meter, 2 points", "meter-two-points"},
      {"meter calibrated at two points", "meter-two-points"},
      {"pH-Meter, 2-Punkt-Kalibrierung", "meter-two-points"},
      {"Zweipunktkalibrierung", "meter-two-points"},
      {"mit zwei Puffern kalibriert", "meter-two-points"},
      {"pH-mètre étalonné, deux points", "meter-two-points"},
      {"calibrated at one point", "meter-one-point"},
      {"meter, one buffer", "meter-one-point"},
      {"mit einem Puffer kalibriert", "meter-one-point"},
      {"étalonné en un point", "meter-one-point"},
      {"not calibrated", "meter-not-calibrated"},
      {"meter, uncalibrated", "meter-not-calibrated"},
      {"nicht kalibriert", "meter-not-calibrated"},
      {"unkalibriert", "meter-not-calibrated"},
      {"pH-mètre non étalonné", "meter-not-calibrated"}};
  for (const auto& [written, method] : methods) {
    CAPTURE(written);
    CHECK(line_with("Method", written).method == method);
  }
  for (const auto method : reading_methods) CHECK(line_with("Methode", std::string(method)).method == method);
}

TEST_CASE("the step of a strip stands beside its name") {
  for (const auto* written : {"strip 0.5", "strip (0,5)", "Teststreifen 0,5", "strip ± 0.5", "bandelette 0,5"}) {
    CAPTURE(written);
    const auto line = line_with("Messmethode", written);
    CHECK(line.method == "strip");
    CHECK(line.step_ph == 0.5);
    CHECK(line.note.empty());
  }
  CHECK(line_with("Méthode", "meter 2 points, 0.05").step_ph == 0.05);
  CHECK_FALSE(line_with("Method", "strip 0-14").step_ph);
  CHECK_FALSE(line_with("Method", "meter, 2 points").step_ph);
}

TEST_CASE("a method of which nobody knows what it is stays a note, which is said once") {
  const auto log = read("Method,pH\nby eye,5\nby eye,6\n");
  CHECK_FALSE(log.lines.at(0).method);
  CHECK(log.lines.at(1).note == "Method: by eye");
  CHECK(log.diagnostics.size() == 1);
  CHECK(says(log, "the method 'by eye' is kept as a note"));
}

TEST_CASE("what was stirred into how much water") {
  for (const auto& [written, product, water] : std::initializer_list<Stirred>{
           {"10 g in 90 g", 10, 90},
           {"10 g in 90 g water", 10, 90},
           {"10g in 90ml Wasser", 10, 90},
           {"10 g dans 90 g d'eau", 10, 90},
           {"10 g + 90 g", 10, 90},
           {"2,5 g in 0,1 kg", 2.5, 100},
           {"10 g ad 100 g", 10, 90},
           {"10 g auf 100 g", 10, 90},
           {"1+9", 1, 9},
           {"1 + 9", 1, 9},
           {"1:10", 1, 9},
           {"1/10", 1, 9},
           {"1 : 10", 1, 9},
           {"1 in 10", 1, 9},
           {"1 part in 10", 1, 9},
           {"1 zu 10", 1, 9},
           {"10 %", 10, 90},
           {"10% in water", 10, 90},
           {"5 % slurry", 5, 95},
           {"10:90", 10, 90}}) {
    CAPTURE(written);
    const auto line = line_with("Dilution", written);
    REQUIRE(line.dilution_product_g);
    CHECK(*line.dilution_product_g == doctest::Approx(product));
    CHECK(*line.dilution_water_g == doctest::Approx(water));
    CHECK(line.ph == 5.5);
  }
  for (const auto* written : {"", "-", "neat", "undiluted", "unverdünnt", "100 %", "non dilué"}) {
    CAPTURE(written);
    CHECK_FALSE(line_with("Verdünnung", written).dilution_product_g);
    CHECK(line_with("Verdünnung", written).ph == 5.5);
  }
  CHECK(*line_with("Slurry (%)", "10").dilution_water_g == 90);
  CHECK(*line_with("Verdünnungsfaktor", "10").dilution_water_g == 9);
}

TEST_CASE("1:10 is one part in ten parts in all, which is said") {
  const auto log = read("Dilution,pH\n1:10,5\n1:10,6\n1+9,6\n");
  CHECK(log.diagnostics.size() == 1);
  CHECK(says(log, "'1:10' is taken as 1 part in so many parts in all: 1 g in 9 g of water"));
  CHECK(read("Dilution,pH\n1+9,5\n10 %,5\n10 g in 90 g,5\n").diagnostics.empty());
}

TEST_CASE("a reading in nobody knows how much water is none") {
  for (const auto* written : {"some", "10", "1:0", "0:10", "0 %", "110 %", "10 g", "1:10:100", "10 g : 90", "-1:10"}) {
    CAPTURE(written);
    const auto text = std::string("Dilution;pH\n1+9;5,5\n\"") + written + "\";5,5\n";
    CHECK(tells(problems_of(text), "log.csv", 3, 1, "as dilution; expected how much was stirred into how much water"));
    CHECK_FALSE(read(text).lines.at(1).ph);
  }
}

TEST_CASE("clock times run on, over midnight too") {
  have_ages({"14:05", "14:35", "14:35"}, {0, 30 / 1440., 30 / 1440.});
  have_ages({"22:00", "23:30", "00:30", "09:00", "08:00"}, {0, 1.5 / 24, 2.5 / 24, 11 / 24., 34 / 24.});
  have_ages({"2:05 pm", "3:05 PM", "12:05 am"}, {0, 1 / 24., 10 / 24.});
  have_ages({"14h05", "15h05", "16 Uhr", "16.30 Uhr"}, {0, 1 / 24., 115 / 1440., 145 / 1440.});
  have_ages({"14:05:00", "14:05:36"}, {0, 36 / 86400.});
  CHECK(says(read("Time;pH\n22:00;5\n01:00;5\n"), "a clock time that goes back is taken as the next day's"));
}

TEST_CASE("dates as they are written in several countries") {
  have_ages({"2026-03-01", "2026-03-08"}, {0, 7});
  have_ages({"2026-03-01 14:05", "2026-03-01T15:05", "2026-03-02 14:05:00", "2026-03-02T14:05:00Z"}, {0, 1 / 24., 1, 1});
  have_ages({"01.03.2026 14:05", "1.3.2026 15:05", "02.03.26 14:05", "8.3.2026, 14:05 Uhr"}, {0, 1 / 24., 1, 7});
  have_ages({"28/02/2026 12:00", "01/03/2026 12:00"}, {0, 1});
  have_ages({"2024-02-28", "2024-03-01"}, {0, 2});
  have_ages({"2026-03-01 23:00", "23:30", "01:00"}, {0, .5 / 24, 2 / 24.});
}

TEST_CASE("a date with strokes has the day first unless that cannot be, which is said once") {
  have_ages({"01/03/2026", "02/03/2026"}, {0, 1});
  auto log = read("Date;pH\n01/03/2026;5\n02/03/2026;5\n");
  CHECK(log.diagnostics.size() == 1);
  CHECK(says(log, "are taken with the day first"));
  have_ages({"03/01/2026", "03/14/2026"}, {0, 13});
  log = read("Date;pH\n03/01/2026;5\n03/14/2026;5\n");
  CHECK(log.diagnostics.size() == 1);
  CHECK(says(log, "have the month first"));
  CHECK(read("Date;pH\n14/03/2026;5\n15/03/2026;5\n").diagnostics.empty());
}

TEST_CASE("how long since the start, in words or below a head with a unit") {
  have_ages({"0", "30 min", "2 h", "24 h", "1 d", "day 7", "week 2", "1 month"},
            {0, 30 / 1440., 2 / 24., 1, 1, 7, 14, 30.4375});
  have_ages({"nach 10 Minuten", "2 Stunden", "Tag 7", "2 Wochen", "1,5 h"}, {10 / 1440., 2 / 24., 7, 14, 1.5 / 24});
  have_ages({"30 s", "2 heures", "jour 7", "2 semaines", "1 h 30 min"}, {30 / 86400., 2 / 24., 7, 14, 1.5 / 24});
  have_ages({"day 0 09:00", "day 7 10:00"}, {0, 7 + 1 / 24.});
  CHECK(read("Day;pH\n0;5\n7;5\n").lines.at(1).age_days == 7);
  CHECK(read("Minutes;pH\n0;5\n36;5\n").lines.at(1).age_days == doctest::Approx(0.025));
  CHECK(read("Zeit (h);pH\n0;5\n1,5;5\n").lines.at(1).age_days == doctest::Approx(1.5 / 24));
  CHECK(read("Tag;Uhrzeit;pH\n1;09:00;5\n8;10:00;5\n").lines.at(1).age_days == doctest::Approx(7 + 1 / 24.));
}

TEST_CASE("a log may say when the batch was mixed") {
  have_ages({"2026-03-01 15:00", "2026-03-08 14:00"}, {1 / 24., 7}, "# mixed: 2026-03-01 14:00\n");
  have_ages({"15:00", "16:00", "09:00"}, {1 / 24., 2 / 24., 19 / 24.}, "# gemischt: 01.03.2026 14:00\n");
  have_ages({"15:00"}, {1 / 24.}, "# mixed: 14:00\n");
  CHECK(tells(problems_of("# mixed: long ago\npH\n5\n"), "log.csv", 1, 0, "'long ago' as mixed"));
  const auto early = read("# mixed: 2026-03-01 14:00\nTime;pH\n2026-02-01 10:00;5\n");
  CHECK_FALSE(early.lines.at(0).age_days);
  CHECK(says(early, "a time before the log begins"));
}

TEST_CASE("times that say nothing are kept as written, and said once") {
  const auto log = read("Time;pH\nmorning;5\n99:99;5\n31.02.2026;5\n14:05;5\n;5\n");
  for (std::size_t i = 0; i < 3; ++i) CHECK_FALSE(log.lines.at(i).age_days);
  CHECK(log.lines.at(0).time == "morning");
  CHECK(log.lines.at(3).age_days == 0);
  CHECK_FALSE(log.lines.at(4).age_days);
  CHECK(log.diagnostics.size() == 1);
  CHECK(says(log, "the time 'morning' and 2 more is not understood"));
}

TEST_CASE("head lines say how the meter was made ready") {
  const auto log = read(
      "# buffer: 4.01 = 4.05 @ 22 °C\n# buffer: 7.00 = -3 mV\n# Puffer: pH 10 = 9,95 bei 21,5 °C\n"
      "# calibrated: 25 °C\n# compensated: no\npH\n5\n");
  REQUIRE(log.buffers.size() == 3);
  CHECK(log.buffers[0].nominal_ph == 4.01);
  CHECK(log.buffers[0].shown_ph == 4.05);
  CHECK(log.buffers[0].temperature_celsius == 22);
  CHECK_FALSE(log.buffers[0].millivolts);
  CHECK(log.buffers[1].nominal_ph == 7);
  CHECK(log.buffers[1].millivolts == -3);
  CHECK_FALSE(log.buffers[1].temperature_celsius);
  CHECK(log.buffers[2].shown_ph == 9.95);
  CHECK(log.buffers[2].temperature_celsius == 21.5);
  CHECK(log.buffers[2].place.line == 3);
  CHECK(log.calibrated_celsius == 25);
  CHECK(log.compensates_temperature == false);
  CHECK(log.header.at("buffer") == "4.01 = 4.05 @ 22 °C; 7.00 = -3 mV; pH 10 = 9,95 bei 21,5 °C");
  CHECK_FALSE(read("pH\n5\n").compensates_temperature);
  for (const auto* written : {"buffer: 7", "buffer: 7 = high", "buffer: 17 = 7", "buffer: 7 = 7 @ 300 °C",
                              "calibrated: warm", "compensated: perhaps", "buffer: 7 = 5000 mV"}) {
    CAPTURE(written);
    CHECK(tells(problems_of("# " + std::string(written) + "\npH\n5\n"), "log.csv", 1, 0, " as "));
  }
}

TEST_CASE("a dilution beside grams is no strength, which is said") {
  CHECK(says(read("Added,Dilution,g,pH\nNaOH 10 %,10 %,1,5\n"), "no strength of what was added"));
  CHECK(read("Added,Strength,Dilution,g,pH\nNaOH,8,10 %,1,5\n").diagnostics.empty());
}
