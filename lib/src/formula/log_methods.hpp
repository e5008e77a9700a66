// SPDX-License-Identifier: MIT
// How a pH was read, in the usual words of several languages: meter or strip, stirred into water or
// not.
#pragma once

#include "findings.hpp"

#include <counterion/formula/reading_log.hpp>
#include <counterion/text/number.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace counterion::formula {

/// With what a pH was read.
struct WrittenMethod {
  std::string method;             ///< one of reading_methods
  std::optional<double> step_ph;  ///< "strip 0.5"
};

/// "strip 0.5", "pH-Meter, 2 Punkte", "non étalonné"; nothing where the text says none.
std::optional<WrittenMethod> read_method(std::string_view text);

/// What was stirred into how much water; nothing of water where the product itself was read.
struct WrittenDilution {
  double product_g = 1, water_g = 0;
  bool of_parts = false;  ///< written "1:10", which may mean 1 + 9 or 1 + 10
};

/// How a column of dilutions says what a number without unit means.
enum class DilutionUnit { none, percent, factor };

/// "10 g in 90 g", "1:10" (1 part in 10 parts in all), "1+9", "10 %"; nothing where the text is
/// none.
std::optional<WrittenDilution> read_dilution(std::string_view text, DilutionUnit unit);

/// What a column with this head means by a number without unit.
DilutionUnit dilution_unit_of(std::string_view head);

/// A temperature of 0 to 100 °C; nothing where the text is none.
std::optional<double> read_celsius(std::string_view text, text::DecimalMarks marks = {});

/// "4.01 = 4.05 @ 22 °C", "7.00 = -3 mV"; nothing where the text is none.
std::optional<LogBuffer> read_buffer(std::string_view text);

/// "yes", "no", "nein", "oui"; nothing where the text is neither.
std::optional<bool> read_yes_or_no(std::string_view text);

}  // namespace counterion::formula
