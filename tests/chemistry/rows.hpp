// SPDX-License-Identifier: MIT
// Check values kept as CSV beside the tests, one fact a row with its source.
#pragma once

#include "../table_rows.hpp"

#include <counterion/chemistry/solution.hpp>

#include <map>
#include <string>
#include <vector>

namespace test {

/// The rows of tests/chemistry/data/`name`; every one has a source and a reliability.
std::vector<Row> rows_of(const std::string& name);

/// Protolytes by substance from a table of constants.
std::map<std::string, counterion::Protolyte> protolytes_of(const std::string& name);

/// The words of a text between blanks.
std::vector<std::string> words_of(const std::string& text);

/// "a=b" as a pair.
std::pair<std::string, std::string> halves_of(const std::string& text, char mark);

/// The worst deviation of a series, its place and its root mean square.
class Deviations {
 public:
  void add(double deviation, const std::string& where);
  double worst() const { return worst_; }
  double rms() const;
  std::size_t count() const { return count_; }
  std::string summary() const;

 private:
  std::size_t count_ = 0;
  double worst_ = 0, squares_ = 0;
  std::string where_;
};

}  // namespace test
