// SPDX-License-Identifier: MIT
// When the lines of a log were written: clock times, dates of several countries, or how long since
// the start.
#pragma once

#include "findings.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::formula {

/// A time as written; each part may be missing.
struct WrittenTime {
  std::optional<double> day;  ///< of the calendar (from 1970-01-01), or of the log where `counted`
  std::optional<double> clock_days;    ///< time of the day, 0 to 1
  std::optional<double> elapsed_days;  ///< since the start
  bool counted = false;                ///< "day 7" beside a clock time
  bool ambiguous = false;              ///< "01/03/2026": two months would do
  bool month_first = false;            ///< "03/14/2026": only the second number can be a day
};

/// "14:05", "2026-03-01T14:05", "01.03.2026 14:05", "2 h", "day 7"; nothing where the text is no
/// time.
std::optional<WrittenTime> read_time(std::string_view text, bool month_first = false);

/// A cell of a column of times with the unit of its head: "7" below "Day" is "day 7", "30" below
/// "min" "30 min".
std::string with_head_unit(const std::string& cell, std::string_view head);

/// Turns the times of a log, in their order, into days since its beginning.
class LogClock {
 public:
  explicit LogClock(Findings& findings) : findings_(findings) {}
  /// What dates with strokes mean in this log, by all of its times.
  void decide_order(const std::vector<std::string>& times);
  /// Sets the beginning, "2026-03-01 14:00"; false where that is no time.
  bool set_beginning(std::string_view text);
  /// Days since the beginning, which without one is the first time asked for; none where the text
  /// does not say.
  std::optional<double> age_of(const std::string& text, const Place& place);
  /// Says which times were not understood.
  void conclude();

 private:
  std::optional<double> since_beginning(const WrittenTime& time, const Place& place);
  std::optional<double> moment_of(const WrittenTime& time, const Place& place);
  std::optional<double> clock_after_last(double clock, const Place& place);
  void say_order(const WrittenTime& time, const Place& place);

  Findings& findings_;
  bool month_first_ = false, said_order_ = false, said_next_day_ = false;
  std::optional<double> beginning_, last_;  ///< days
  bool by_date_ = false;                    ///< the beginning is a day of the calendar
  std::size_t unknown_ = 0;
  std::string first_unknown_;
  Place unknown_place_;
};

}  // namespace counterion::formula
