// SPDX-License-Identifier: MIT
// Check values kept as CSV beside the tests, one fact a row.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace test {

/// One row by column name; reading a column that is not there fails the test.
class Row {
 public:
  explicit Row(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
  const std::string& text(const std::string& column) const { return cells_.at(column); }
  bool has(const std::string& column) const { return !cells_.at(column).empty(); }
  double number(const std::string& column) const { return std::stod(cells_.at(column)); }

 private:
  std::map<std::string, std::string> cells_;
};

/// The rows of tests/answers/data/`name`.
std::vector<Row> rows_of(const std::string& name);

}  // namespace test
