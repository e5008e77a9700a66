// SPDX-License-Identifier: MIT
// A handful of rows of every table, sound as they stand; tests damage or extend them.
#pragma once

#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <map>
#include <string>
#include <vector>

namespace counterion::test {

/// CSV text by table name.
class SmallTables {
 public:
  SmallTables();
  /// Adds a line to a table.
  SmallTables& with(const std::string& table, const std::string& line);
  /// Replaces a part of a table's text, which must be there.
  SmallTables& edited(const std::string& table, const std::string& old, const std::string& now);

  Tables load() const;
  /// What is wrong with them; empty when they load.
  std::vector<Problem> problems() const;

 private:
  std::map<std::string, std::string> texts_;
};

/// Whether one of the problems stands in this line and column and speaks of this.
bool tells(const std::vector<Problem>& problems, const std::string& file, std::size_t line,
           std::size_t column, const std::string& words);

}  // namespace counterion::test
