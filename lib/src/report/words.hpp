// SPDX-License-Identifier: MIT
// Numbers and names as people read them.
#pragma once

#include <counterion/answer/check.hpp>

#include <string>
#include <string_view>

namespace counterion::report {

/// A blank at which no line breaks; the page prints it as a plain blank.
inline constexpr char no_break = '\x01';

/// A pH with at most two decimals and at least one: "4.5", "4.63".
std::string ph_text(double ph);
/// A pH with one decimal where the interval is wider than 0.3, else two.
std::string ph_text(double ph, const Prediction& prediction);
/// Three significant digits without exponent: "0.394", "35.4", "1230".
std::string amount_text(double amount);
/// "[low] to [high]", "from low" or "up to high", "any pH".
std::string span_text(const std::optional<double>& low, const std::optional<double>& high);
/// Share as percent, two significant digits, "under 0.01" below that.
std::string share_text(double share);

/// Text that came from outside, its control characters (terminal codes) made harmless.
std::string printable(std::string_view text);
/// A name made printable, its strength not torn off at the end of a line.
std::string unbroken(std::string_view name);
/// The name of a line of the formula.
std::string item_name(const CheckResult& result, std::size_t item);
std::string range_name(const CheckResult& result, const WorkingRange& range);
/// "Citric acid, 20 % in water" or "Lactic acid 80 %, as supplied".
std::string stock_name(const Adjustment& adjustment);
std::string adjuster_name(const Adjustment& adjustment);
/// What a driver is, in plain words.
std::string driver_text(const CheckResult& result, const DriverEffect& driver);

/// "a, b and c".
std::string joined(const std::vector<std::string>& words);

}  // namespace counterion::report
