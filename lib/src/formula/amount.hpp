// SPDX-License-Identifier: MIT
// Amounts as people write them: a number with or without unit, q.s., to 100; and declared pH.
#pragma once

#include <counterion/text/number.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace counterion::formula {

enum class Unit { none, percent, grams };

enum class AmountKind { empty, number, fill, fault };

/// One amount cell understood.
struct Amount {
  AmountKind kind = AmountKind::empty;
  double value = 0;               ///< in percent, in grams, or without unit
  Unit unit = Unit::none;         ///< as the cell itself says
  double last_digit = 1;          ///< worth of one unit in the last written place
  std::optional<double> fill_to;  ///< the total after "ad", "to": 100, or grams where unit says so
  std::string fault;
  std::string expected;
};

Amount read_amount(std::string_view text, text::DecimalMarks seen);

/// A declared pH: "5.5", "11.5-12.5", "11,5 bis 12,5 @ 10 %".
struct DeclaredPh {
  double low = 0;
  double high = 0;
  std::optional<double> at_percent;
};

/// Nothing where the text is no declared pH inside 0 to 14.
std::optional<DeclaredPh> read_declared_ph(std::string_view text);

/// A share from above 0 to 100 percent, "80", "80 %"; nothing where the text is none.
std::optional<double> read_share_percent(std::string_view text, text::DecimalMarks seen);

/// A mass in grams, "500 g", "2,5 kg", "500"; nothing where the text is none above 0.
std::optional<double> read_mass_g(std::string_view text);

/// Whether the cell says that there is nothing: empty, "-", "n/a".
bool is_nothing(std::string_view text);

}  // namespace counterion::formula
