// SPDX-License-Identifier: MIT
// Check values kept as CSV beside the tests, one fact a row with its source.
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
  double number(const std::string& column) const;
  double number_or(const std::string& column, double otherwise) const {
    return has(column) ? number(column) : otherwise;
  }
  /// What is only remembered may be shown but judges nothing.
  bool judges() const { return text("reliability") != "memory"; }

 private:
  std::map<std::string, std::string> cells_;
};

/// The rows of a file under tests/, such as "chemistry/data/water.csv".
std::vector<Row> rows_of_file(const std::string& path);

}  // namespace test
