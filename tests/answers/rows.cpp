// SPDX-License-Identifier: MIT
#include "rows.hpp"

#include <counterion/text/csv.hpp>

#include <doctest/doctest.h>

#include <fstream>
#include <iterator>

namespace test {

std::vector<Row> rows_of(const std::string& name) {
  const std::string path = COUNTERION_SOURCE_DIR "/tests/answers/data/" + name;
  std::ifstream stream(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(stream), {}};
  const auto csv = counterion::text::read_csv(text, ',', path);
  REQUIRE(csv.problems.empty());
  REQUIRE(csv.rows.size() > 1);
  std::vector<Row> rows;
  for (std::size_t i = 1; i < csv.rows.size(); ++i) {
    if (csv.rows[i].size() == 1 && csv.rows[i][0].text.empty()) continue;
    REQUIRE(csv.rows[i].size() == csv.rows[0].size());
    std::map<std::string, std::string> cells;
    for (std::size_t j = 0; j < csv.rows[0].size(); ++j)
      cells.emplace(csv.rows[0][j].text, csv.rows[i][j].text);
    rows.emplace_back(std::move(cells));
  }
  return rows;
}

}  // namespace test
