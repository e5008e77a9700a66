// SPDX-License-Identifier: MIT
#include "log_times.hpp"

#include "amount.hpp"
#include "words.hpp"

#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

constexpr std::size_t longest = 60;  // bytes of a time; more is prose
constexpr double minutes_a_day = 1440, seconds_a_day = 86400;

bool is_digit(char c) noexcept {
  return c >= '0' && c <= '9';
}

/// Digits and signs of a text, taken off one after another.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}
  bool done() const noexcept { return text_.empty(); }
  std::string_view rest() const noexcept { return text_; }
  bool take(char c) noexcept {
    if (text_.empty() || text_.front() != c) return false;
    text_.remove_prefix(1);
    return true;
  }
  /// A whole number of so many digits, none following.
  std::optional<int> number(std::size_t fewest, std::size_t most) noexcept {
    std::size_t length = 0;
    int value = 0;
    for (; length < text_.size() && length <= most && is_digit(text_[length]); ++length)
      value = 10 * value + (text_[length] - '0');
    if (length < fewest || length > most) return {};
    text_.remove_prefix(length);
    return value;
  }

 private:
  std::string_view text_;
};

// ---- dates ----

std::optional<double> day_of(int year, int month, int day) {
  namespace chrono = std::chrono;
  const chrono::year_month_day date{chrono::year(year), chrono::month(static_cast<unsigned>(month)),
                                    chrono::day(static_cast<unsigned>(day))};
  if (!date.ok() || year < 1900 || year > 2200) return {};
  return static_cast<double>(chrono::sys_days(date).time_since_epoch().count());
}

int full_year(int year) {
  return year < 100 ? 2000 + year : year;
}

/// Three numbers with the same sign between them.
struct Triple {
  std::array<int, 3> numbers{};
  char sign = '-';
  bool year_first = false;
};

std::optional<Triple> take_triple(Scanner& scanner) {
  Scanner ahead = scanner;
  Triple triple;
  const auto before = ahead.rest().size();
  const auto first = ahead.number(1, 4);
  if (!first || ahead.done()) return {};
  const auto digits = before - ahead.rest().size();
  triple.sign = ahead.rest().front();
  if ((triple.sign != '-' && triple.sign != '.' && triple.sign != '/') || digits == 3) return {};
  triple.year_first = digits == 4;
  ahead.take(triple.sign);
  const auto second = ahead.number(1, 2);
  if (!second || !ahead.take(triple.sign)) return {};
  const auto third = ahead.number(triple.year_first ? 1 : 2, triple.year_first ? 2 : 4);
  if (!third) return {};
  triple.numbers = {*first, *second, *third};
  scanner = ahead;
  return triple;
}

/// Whether the date was sound.
bool set_day(const Triple& triple, bool month_first, WrittenTime& time) {
  const auto [a, b, c] = triple.numbers;
  if (triple.year_first) return (time.day = day_of(a, b, c)).has_value();
  const int year = full_year(c);
  const auto by_day = day_of(year, b, a), by_month = day_of(year, a, b);
  const bool strokes = triple.sign == '/';
  time.month_first = strokes && !by_day && by_month;
  time.ambiguous = strokes && by_day && by_month && a != b;
  time.day = strokes && by_month && (time.month_first || month_first) ? by_month : by_day;
  return time.day.has_value();
}

// ---- clocks ----

/// "14:05", "14:05:30", "14h05", "2:05 pm", "14 Uhr"; nothing where the text is none.
std::optional<double> read_clock(std::string_view text) {
  Scanner scanner(text::trim(text));
  const auto hour = scanner.number(1, 2);
  if (!hour) return {};
  const bool point = scanner.take('.');
  const bool sign = point || scanner.take(':') || scanner.take('h') || scanner.take('H');
  const auto minute = sign ? scanner.number(2, 2) : std::optional(0);
  if (!minute) return {};
  double second = 0;
  if (sign && !point && scanner.take(':')) {
    const auto number = scanner.number(2, 2);
    if (!number) return {};
    second = *number;
    if (scanner.take('.')) scanner.number(1, 9);
  }
  const auto words = words_of(scanner.rest());
  const auto word = joined(words);
  const bool afternoon = word == "pm", morning = word == "am";
  const bool named = word == "uhr" || afternoon || morning;
  const bool plain =
      sign && !point && (word.empty() || word == "h" || word == "z" || word == "utc");
  if (!named && !plain) return {};
  if (*hour > 23 || *minute > 59 || second > 60 ||
      ((afternoon || morning) && (*hour > 12 || *hour == 0)))
    return {};
  const int hours = afternoon ? *hour % 12 + 12 : morning ? *hour % 12 : *hour;
  return (60 * hours + *minute) / minutes_a_day + second / seconds_a_day;
}

// ---- how long since the start ----

/// Days in a unit of time; 0 where the word is none.
double days_in(const std::string& word) {
  struct Unit {
    WordSet words;
    double days;
  };
  static const std::array<Unit, 6> units{
      {{{"s", "sec", "secs", "second", "seconds", "sek", "sekunde", "sekunden", "seconde",
         "secondes"},
        1 / seconds_a_day},
       {{"min", "mins", "minute", "minutes", "minuten", "mn"}, 1 / minutes_a_day},
       {{"h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden", "heure", "heures"},
        1 / 24.0},
       {{"d", "day", "days", "tag", "tage", "tagen", "jour", "jours", "j"}, 1},
       {{"w", "wk", "week", "weeks", "woche", "wochen", "semaine", "semaines", "sem"}, 7},
       {{"month", "months", "monat", "monate", "monaten", "mois"}, 30.4375}}};
  const auto found =
      std::ranges::find_if(units, [&](const Unit& unit) { return unit.words.contains(word); });
  return found == units.end() ? 0 : found->days;
}

const WordSet idle_words{"after",   "nach", "apres",   "since",  "seit",   "depuis", "and",
                         "und",     "et",   "elapsed", "start",  "mixing", "dem",    "mischen",
                         "melange", "le",   "later",   "spater", "plus",   "ca"};

/// A number and where it ends.
std::optional<std::pair<double, std::string_view>> take_decimal(std::string_view text) {
  const auto end = std::min(text.find_first_not_of("0123456789.,"), text.size());
  auto digits = text.substr(0, end);
  while (digits.ends_with('.') || digits.ends_with(',')) digits.remove_suffix(1);
  const auto read = text::read_number(digits).number;
  if (!read || digits.empty()) return {};
  return std::pair(read->value, text.substr(digits.size()));
}

/// "30 min", "1 h 30 min", "after 2 days", "day 7", "week 2"; nothing where the text is none.
std::optional<double> read_elapsed(std::string_view text) {
  double days = 0, before = 0;
  std::optional<double> pending;
  bool any = false;
  for (text = text::trim(text); !text.empty();) {
    if (is_digit(text.front())) {
      const auto decimal = take_decimal(text);
      if (!decimal || pending) return {};
      text = decimal->second;
      if (before > 0) {
        days += before * decimal->first, before = 0, any = true;
      } else {
        pending = decimal->first;
      }
      continue;
    }
    const auto end = std::min(text.find_first_of("0123456789"), text.size());
    const auto words = words_of(text.substr(0, end));
    text.remove_prefix(end);
    for (const auto& word : words) {
      const double unit = days_in(word);
      if (unit == 0 && !idle_words.contains(word)) return {};
      if (unit == 0) continue;
      if (pending) {
        days += *pending * unit, pending.reset(), any = true;
      } else if (before == 0 && !any) {
        before = unit;
      } else {
        return {};
      }
    }
  }
  if (before > 0 || (pending && (any || *pending != 0))) return {};
  return days <= 36525 ? std::optional(days) : std::nullopt;
}

/// The day and the clock of "day 7 14:05".
std::optional<WrittenTime> read_counted_day(std::string_view text) {
  const auto colon = text.find(':');
  const auto blank = text.rfind(' ', std::min(colon, text.size()));
  if (colon == text.npos || blank == text.npos) return {};
  const auto day = read_elapsed(text.substr(0, blank));
  const auto clock = read_clock(text.substr(blank));
  const bool whole = day && clock && std::floor(*day) == *day && !is_digit(text.front());
  if (!whole) return {};
  WrittenTime time;
  time.day = day, time.clock_days = clock, time.counted = true;
  return time;
}

/// What stands between a date and a clock.
std::string_view without_joint(std::string_view text) {
  text = text::trim(text);
  for (const std::string_view joint : {"T", ",", "um", "at", "à", "-"})
    if (text.starts_with(joint)) return text::trim(text.substr(joint.size()));
  return text;
}

/// A clock behind a date, its zone left aside.
std::string_view without_zone(std::string_view text) {
  const auto zone = text.find_first_of("+Z");
  return text.substr(0, zone);
}

}  // namespace

std::optional<WrittenTime> read_time(std::string_view text, bool month_first) {
  text = text::trim(text);
  if (is_nothing(text) || text.size() > longest) return {};
  Scanner scanner(text);
  WrittenTime time;
  if (const auto triple = take_triple(scanner)) {
    if (!set_day(*triple, month_first, time)) return {};
    const auto rest = without_zone(without_joint(scanner.rest()));
    if (!text::trim(rest).empty()) time.clock_days = read_clock(rest);
    return text::trim(rest).empty() || time.clock_days ? std::optional(time) : std::nullopt;
  }
  if ((time.clock_days = read_clock(text))) return time;
  if (const auto counted = read_counted_day(text)) return counted;
  time.elapsed_days = read_elapsed(text.starts_with('+') ? text.substr(1) : text);
  return time.elapsed_days ? std::optional(time) : std::nullopt;
}

std::string with_head_unit(const std::string& cell, std::string_view head) {
  const auto number = text::read_number(cell).number;
  if (!number || !number->unit.empty()) return cell;
  const auto words = words_of(head);
  if (words.size() > 1 && holds(words, {"hh", "mm", "uhrzeit"})) return cell;
  const auto unit = std::ranges::find_if(words, [](const auto& word) { return days_in(word) > 0; });
  if (unit == words.end()) return cell;
  return days_in(*unit) >= 1 && std::floor(number->value) == number->value ? *unit + " " + cell
                                                                           : cell + " " + *unit;
}

void LogClock::decide_order(const std::vector<std::string>& times) {
  month_first_ = std::ranges::any_of(times, [](const auto& text) {
    const auto time = read_time(text);
    return time && time->month_first;
  });
}

bool LogClock::set_beginning(std::string_view text) {
  const auto time = read_time(text, month_first_);
  if (!time || time->elapsed_days) return false;
  beginning_ = last_ = time->day.value_or(0) + time->clock_days.value_or(0);
  by_date_ = time->day && !time->counted;
  return true;
}

std::optional<double> LogClock::age_of(const std::string& text, const Place& place) {
  if (is_nothing(text)) return {};
  const auto time = read_time(text, month_first_);
  if (time) {
    say_order(*time, place);
    return since_beginning(*time, place);
  }
  if (unknown_++ == 0) first_unknown_ = text, unknown_place_ = place;
  return {};
}

std::optional<double> LogClock::since_beginning(const WrittenTime& time, const Place& place) {
  if (time.elapsed_days) {
    if (!beginning_) beginning_ = 0;
    last_ = *beginning_ + *time.elapsed_days;
    return time.elapsed_days;
  }
  const auto moment = moment_of(time, place);
  if (!moment) return {};
  if (!beginning_) beginning_ = moment, by_date_ = time.day && !time.counted;
  last_ = moment;
  const double age = *moment - *beginning_;
  if (age >= 0) return age;
  if (!time.clock_days && age > -1) return 0;
  findings_.say(place, "a time before the log begins; the age of what was read then is not known");
  return {};
}

std::optional<double> LogClock::moment_of(const WrittenTime& time, const Place& place) {
  if (!time.day) return clock_after_last(*time.clock_days, place);
  const bool by_date = !time.counted;
  if (beginning_ && by_date != by_date_) {
    findings_.say(place,
                  "a date after times without one; the age of what was read then is not known");
    return {};
  }
  return *time.day + time.clock_days.value_or(0);
}

/// A clock that goes back means the next day.
std::optional<double> LogClock::clock_after_last(double clock, const Place& place) {
  if (!last_) return clock;
  const double same_day = std::floor(*last_) + clock;
  constexpr double least = 1e-9;
  if (same_day >= *last_ - least) return same_day;
  if (!std::exchange(said_next_day_, true))
    findings_.say(place, "a clock time that goes back is taken as the next day's");
  return same_day + 1;
}

void LogClock::say_order(const WrittenTime& time, const Place& place) {
  if ((!time.ambiguous && !time.month_first) || std::exchange(said_order_, true)) return;
  findings_.say(
      place,
      month_first_
          ? "dates such as 03/14/2026 have the month first; so are all dates with strokes read"
          : "dates such as 01/03/2026 are taken with the day first, as the first of March");
}

void LogClock::conclude() {
  if (unknown_ == 0) return;
  const auto others = unknown_ > 1 ? fmt::format(" and {} more", unknown_ - 1) : std::string();
  findings_.say(
      unknown_place_,
      fmt::format("the time {}{} is not understood: the age of what was read then is not known",
                  shown(first_unknown_), others));
}

}  // namespace counterion::formula
