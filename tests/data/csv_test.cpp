// SPDX-License-Identifier: MIT
#include <counterion/text/csv.hpp>

#include <doctest/doctest.h>

#include <string>
#include <vector>

using counterion::text::guess_delimiter;
using counterion::text::read_csv;

namespace {

using Texts = std::vector<std::vector<std::string>>;

Texts texts_of(std::string_view text, char delimiter = ',') {
  Texts rows;
  const auto csv = read_csv(text, delimiter, "a.csv");
  CHECK(csv.problems.empty());
  for (const auto& row : csv.rows) {
    rows.emplace_back();
    for (const auto& cell : row) rows.back().push_back(cell.text);
  }
  return rows;
}

}  // namespace

TEST_CASE("rows end with LF, CRLF or CR, and the last one with nothing") {
  const Texts rows{{"a", "b"}, {"c", "d"}};
  CHECK(texts_of("a,b\nc,d\n") == rows);
  CHECK(texts_of("a,b\r\nc,d\r\n") == rows);
  CHECK(texts_of("a,b\rc,d\r") == rows);
  CHECK(texts_of("a,b\nc,d") == rows);
}

TEST_CASE("an empty text has no rows, an empty line is a row of one empty cell") {
  CHECK(texts_of("").empty());
  CHECK(texts_of("a\n\nb") == Texts{{"a"}, {""}, {"b"}});
  CHECK(texts_of(",\n") == Texts{{"", ""}});
}

TEST_CASE("quotes keep delimiters, line ends and doubled quotes") {
  CHECK(texts_of("\"a,b\",\"c \"\"d\"\"\",\"e\r\nf\"\n") == Texts{{"a,b", "c \"d\"", "e\r\nf"}});
  CHECK(texts_of("\"\",\"\"\"\"") == Texts{{"", "\""}});
}

TEST_CASE("a quote inside an unquoted cell is a character like others") {
  CHECK(texts_of("12\" pan,b") == Texts{{"12\" pan", "b"}});
}

TEST_CASE("the delimiter is the caller's") {
  CHECK(texts_of("a,b;\"c;d\"", ';') == Texts{{"a,b", "c;d"}});
  CHECK(texts_of("1,5;2,5", ';') == Texts{{"1,5", "2,5"}});
  CHECK(texts_of("a\tb,c", '\t') == Texts{{"a", "b,c"}});
}

TEST_CASE("cells know their line and column, also below a cell of several lines") {
  const auto csv = read_csv("a,b\r\n\"x\r\ny\rz\n\",2\n3,4", ',', "a.csv");
  REQUIRE(csv.rows.size() == 3);
  CHECK(csv.rows[1][0].line == 2);
  CHECK(csv.rows[1][1].line == 5);
  CHECK(csv.rows[1][1].column == 2);
  CHECK(csv.rows[2][0].line == 6);
}

TEST_CASE("a quote that is never closed is a problem with its place") {
  const auto csv = read_csv("a,b\nc,\"d\ne,f\n", ',', "a.csv");
  REQUIRE(csv.problems.size() == 1);
  CHECK(csv.problems[0].place == counterion::Place{"a.csv", 2, 2});
  CHECK(csv.problems[0].found == "a quote that is never closed");
  CHECK(csv.rows.size() == 1);
}

TEST_CASE("text after a closing quote is a problem with its place") {
  const auto csv = read_csv("a\n\"b\"c,d\n", ',', "a.csv");
  REQUIRE(csv.problems.size() == 1);
  CHECK(csv.problems[0].place == counterion::Place{"a.csv", 2, 1});
  CHECK(csv.problems[0].found == "text after a closing quote");
}

TEST_CASE("the delimiter is guessed from what stands outside quotes") {
  CHECK(guess_delimiter("a,b;c,d") == ',');
  CHECK(guess_delimiter("\"a,b,c\";d") == ';');
  CHECK(guess_delimiter("a\tb, c\td") == '\t');
  CHECK(guess_delimiter("alone") == ',');
}
