// SPDX-License-Identifier: MIT
// Numbers as people type them into tables: decimal point or comma, grouped digits, a unit behind.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace counterion::text {

/// Which decimal marks a file has been seen to use beyond doubt.
struct DecimalMarks {
  bool point = false;
  bool comma = false;
};

/// A number as written.
struct Number {
  double value = 0;
  double last_digit = 1;  ///< worth of one unit in the last written place, 0.01 for "2.50"
  std::string unit;       ///< what follows the digits, lower case without blanks: "%", "g"
};

/// A number, or in plain words why the text is none.
struct NumberReading {
  std::optional<Number> number;
  std::string fault;
};

/// Reads "1,5", "1.5", "12,50 %", "1 234,5", "1.234,5", "0.5g", "2e-3". A lone mark before exactly
/// three digits ("1,234") is a decimal mark, but a fault where `seen` has only the other mark.
NumberReading read_number(std::string_view text, DecimalMarks seen = {});

/// The decimal marks that this text shows beyond doubt.
DecimalMarks decimal_marks_of(std::string_view text);

/// Reads a whole text such as "-1.5e-3" with a decimal point and nothing else; no nan, no inf.
std::optional<double> read_plain_number(std::string_view text) noexcept;

/// The number with as few digits as say it exactly, but never more than `most` decimals.
std::string format_number(double value, int most = 4);

}  // namespace counterion::text
