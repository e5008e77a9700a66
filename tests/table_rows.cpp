// SPDX-License-Identifier: MIT
#include "table_rows.hpp"

#include <counterion/text/csv.hpp>

#include <doctest/doctest.h>

#include <fstream>
#include <iterator>

namespace test {
namespace {

std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  REQUIRE_MESSAGE(file, "cannot open " << path);
  return {std::istreambuf_iterator<char>(file), {}};
}

Row row_of(const counterion::text::CsvRow& head, const counterion::text::CsvRow& cells) {
  REQUIRE(cells.size() == head.size());
  std::map<std::string, std::string> named;
  for (std::size_t i = 0; i < head.size(); ++i) named[head[i].text] = cells[i].text;
  return Row(std::move(named));
}

}  // namespace

double Row::number(const std::string& column) const {
  std::size_t used = 0;
  const double value = std::stod(text(column), &used);
  REQUIRE(used == text(column).size());
  return value;
}

std::vector<Row> rows_of_file(const std::string& path) {
  auto csv = counterion::text::read_csv(contents_of(COUNTERION_SOURCE_DIR "/tests/" + path), ',', path);
  REQUIRE(csv.problems.empty());
  while (!csv.rows.empty() && csv.rows.back().size() == 1 && csv.rows.back()[0].text.empty())
    csv.rows.pop_back();
  REQUIRE(csv.rows.size() > 1);
  std::vector<Row> rows;
  for (std::size_t i = 1; i < csv.rows.size(); ++i) rows.push_back(row_of(csv.rows[0], csv.rows[i]));
  return rows;
}

}  // namespace test
