// SPDX-License-Identifier: MIT
// What the header cells of a sheet mean, in the usual words of several languages; those of logs
// are read in log_columns.hpp.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::formula {

enum class Role {
  unknown,
  inci,
  ingredient,
  trade_name,
  percent,
  grams,
  amount,         ///< without unit: percent or grams, the cells must tell
  concentration,  ///< strength, or the amount where no other column has it
  strength,
  phase,
  note,
  ph,
  ph_low,
  ph_high,
  total,        ///< of logs: grams of all lines so far
  time,         ///< of logs
  temperature,  ///< of logs
  volume,       ///< of logs: an amount that is no mass
  method,       ///< of logs: with what the pH was read
  dilution,     ///< of logs: what was stirred into how much water
  unclear       ///< of logs: grams or percent of something
};

/// One header cell understood.
struct HeaderCell {
  Role role = Role::unknown;
  double grams_per_unit = 1;         ///< 1000 for a column in kilograms
  std::optional<double> at_percent;  ///< "pH (10 %)"
};

HeaderCell read_header_cell(std::string_view text);

/// Whether one of the words is a unit of mass or a percent.
bool names_an_amount(const std::vector<std::string>& words);

/// Where each kind of cell stands in a row; positions from 0.
struct Columns {
  std::vector<HeaderCell> cells;

  std::optional<std::size_t> position(Role role) const noexcept;
  bool has(Role role) const noexcept { return position(role).has_value(); }
  bool has_ingredient() const noexcept;
  bool has_amount() const noexcept;
  /// How many cells are understood.
  std::size_t known() const noexcept;
  /// The column that holds the amounts, if any.
  std::optional<std::size_t> amount_position() const noexcept;
};

}  // namespace counterion::formula
