// SPDX-License-Identifier: MIT
// Which stock a name and a strength mean, "NaOH 10 %" or "citric acid" in a line of 20 %.
#pragma once

#include "naming.hpp"

#include <counterion/error.hpp>

#include <map>
#include <utility>

namespace counterion::formula {

/// What was weighed in; the strength (percent of the ingredient) is empty where nobody wrote one.
struct Stock {
  std::string ingredient;
  std::optional<double> percent;
  bool operator==(const Stock&) const = default;
};

/// A stock, or why the words are none; the fault has no place yet.
struct StockReading {
  std::optional<Stock> stock;
  Problem fault;
};

/// Reads stocks and remembers them, since a log repeats the same few.
class StockReader {
 public:
  explicit StockReader(const Tables& tables) : tables_(tables) {}
  /// The one ingredient that the words mean: a name that itself is a strength, "lactic acid 80 %", is
  /// taken as supplied (100) unless `strength` says how it was diluted.
  const StockReading& read(const std::string& name, std::optional<double> strength);

 private:
  StockReading find(const std::string& name, std::optional<double> strength);
  StockReading find_strong(const std::string& name, const std::string& base, double strength);
  StockReading one_of(const std::string& name, const Meant& meant, std::optional<double> percent);

  const Tables& tables_;
  std::map<std::pair<std::string, std::optional<double>>, StockReading> read_;
  std::size_t suggested_ = 0;
};

}  // namespace counterion::formula
