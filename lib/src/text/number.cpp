// SPDX-License-Identifier: MIT
#include <counterion/text/number.hpp>

#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace counterion::text {
namespace {

using namespace std::string_view_literals;
using std::size_t;

constexpr std::string_view grouping_marks = " '";

bool is_digit(char c) noexcept {
  return c >= '0' && c <= '9';
}
bool is_mark(char c) noexcept {
  return c == '.' || c == ',';
}

/// The text in plain ASCII where typography has other signs for the same.
std::string plain_signs(std::string_view text) {
  constexpr std::array<std::pair<char32_t, char>, 8> signs{{{0xA0, ' '},
                                                            {0x202F, ' '},
                                                            {0x2009, ' '},
                                                            {0x2007, ' '},
                                                            {0x2019, '\''},
                                                            {0x2212, '-'},
                                                            {0x2013, '-'},
                                                            {0xFF05, '%'}}};
  std::string plain;
  while (!text.empty()) {
    const auto point = take_code_point(text);
    const auto sign = std::ranges::find(signs, point, &std::pair<char32_t, char>::first);
    append_code_point(plain, sign == signs.end() ? point : static_cast<char32_t>(sign->second));
  }
  return std::string(trim(plain));
}

/// A number taken apart: "-1.234,5e2 g" is -, 1.234,5, e2, g.
struct Parts {
  bool negative = false;
  std::string body;
  std::string exponent;
  std::string unit;
};

size_t body_length(std::string_view text) noexcept {
  size_t length = 0;
  for (size_t i = 0; i < text.size(); ++i) {
    const bool separator =
        is_mark(text[i]) || grouping_marks.find(text[i]) != std::string_view::npos;
    if (is_digit(text[i])) length = i + 1;
    if (!is_digit(text[i]) && !separator) break;
  }
  return length;
}

size_t exponent_length(std::string_view text) noexcept {
  if (text.empty() || (text[0] != 'e' && text[0] != 'E')) return 0;
  size_t i = text.size() > 1 && (text[1] == '-' || text[1] == '+') ? 2 : 1;
  if (i == text.size() || !is_digit(text[i])) return 0;
  while (i < text.size() && is_digit(text[i])) ++i;
  return i;
}

std::string unit_of(std::string_view text) {
  std::string unit;
  for (const char c : text) {
    if (c != ' ') unit += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return unit;
}

Parts take_apart(std::string_view text) {
  Parts parts;
  if (text.starts_with('-') || text.starts_with('+')) {
    parts.negative = text[0] == '-';
    text = trim(text.substr(1));
  }
  parts.body = text.substr(0, body_length(text));
  text.remove_prefix(parts.body.size());
  if (text.size() > 1 && is_mark(text[0])) text.remove_prefix(1);  // "5. g"
  if (text.size() == 1 && is_mark(text[0])) text = {};
  parts.exponent = text.substr(0, exponent_length(text));
  parts.unit = unit_of(text.substr(parts.exponent.size()));
  return parts;
}

/// Whether `mark` cuts the digits before `end` into groups of three.
bool groups_by_three(std::string_view digits) noexcept {
  size_t run = 0;
  bool first = true;
  for (const char c : digits) {
    if (is_digit(c)) {
      ++run;
    } else {
      if (first ? run < 1 || run > 3 : run != 3) return false;
      first = false;
      run = 0;
    }
  }
  return first || run == 3;
}

/// The one kind of grouping sign that these digits use, or none at all.
bool is_grouped_by_one_sign(std::string_view digits) noexcept {
  char sign = 0;
  for (const char c : digits) {
    if (is_digit(c)) continue;
    if (sign != 0 && c != sign) return false;
    sign = c;
  }
  return groups_by_three(digits);
}

enum class MarkRole { none, decimal, grouping, either, nonsense };

/// What the last mark of the body does; `either` for "1,234".
MarkRole role_of_last_mark(std::string_view body, size_t at) noexcept {
  if (at == std::string_view::npos) return MarkRole::none;
  const char other = body[at] == ',' ? '.' : ',';
  const auto before = body.substr(0, at);
  if (body.substr(at + 1).find_first_not_of("0123456789") != std::string_view::npos) {
    return MarkRole::nonsense;
  }
  if (before.find(body[at]) != std::string_view::npos) {
    return before.find(other) == std::string_view::npos ? MarkRole::grouping : MarkRole::nonsense;
  }
  const bool three_after = body.size() - at - 1 == 3;
  const bool plain_group = before.size() >= 1 && before.size() <= 3 && before[0] != '0' &&
                           before.find_first_not_of("0123456789") == std::string_view::npos;
  return three_after && plain_group ? MarkRole::either : MarkRole::decimal;
}

size_t last_mark(std::string_view body) noexcept {
  return body.find_last_of(".,");
}

std::string digits_only(std::string_view text) {
  std::string digits;
  std::ranges::copy_if(text, std::back_inserter(digits), is_digit);
  return digits;
}

/// The body as from_chars wants it; empty when its separators make no sense.
std::string plain_body(std::string_view body) {
  const auto at = last_mark(body);
  const auto role = role_of_last_mark(body, at);
  if (role == MarkRole::nonsense) return {};
  const bool decimal = role == MarkRole::decimal || role == MarkRole::either;
  const auto whole = decimal ? body.substr(0, at) : body;
  if (!is_grouped_by_one_sign(whole)) return {};
  const auto digits = digits_only(whole);
  if (!decimal) return digits;
  return fmt::format("{}.{}", digits.empty() ? "0" : digits, body.substr(at + 1));
}

double worth_of_last_digit(std::string_view plain, double exponent) {
  const auto point = plain.find('.');
  const auto decimals = point == std::string_view::npos ? 0 : plain.size() - point - 1;
  return std::pow(10.0, exponent - static_cast<double>(decimals));
}

NumberReading fault(std::string text) {
  return {std::nullopt, std::move(text)};
}

bool doubtful(const Parts& parts, DecimalMarks seen) noexcept {
  const auto at = last_mark(parts.body);
  if (role_of_last_mark(parts.body, at) != MarkRole::either) return false;
  return parts.body[at] == ',' ? seen.point : seen.comma;
}

}  // namespace

NumberReading read_number(std::string_view text, DecimalMarks seen) {
  const auto parts = take_apart(plain_signs(text));
  const auto plain = plain_body(parts.body);
  const auto quoted = fmt::format("'{}'", trim(text));
  const bool begins_a_word = !parts.unit.empty() && is_digit(parts.unit[0]);
  if (parts.body.empty() || plain.empty() || begins_a_word) return fault(quoted + " is no number");
  if (doubtful(parts, seen)) {
    return fault(fmt::format("{} can be read in two ways: elsewhere this file has decimal {}s",
                             quoted, parts.body[last_mark(parts.body)] == ',' ? "point" : "comma"));
  }
  const auto value =
      read_plain_number(fmt::format("{}{}{}", parts.negative ? "-" : "", plain, parts.exponent));
  if (!value) return fault(quoted + " is out of reach");
  const auto power =
      parts.exponent.empty() ? 0.0 : read_plain_number(parts.exponent.substr(1)).value_or(0);
  return {Number{*value, worth_of_last_digit(plain, power), parts.unit}, {}};
}

DecimalMarks decimal_marks_of(std::string_view text) {
  const auto parts = take_apart(plain_signs(text));
  const auto at = last_mark(parts.body);
  const auto role = role_of_last_mark(parts.body, at);
  if (plain_body(parts.body).empty()) return {};
  if (role == MarkRole::decimal) return {parts.body[at] == '.', parts.body[at] == ','};
  if (role == MarkRole::grouping) return {parts.body[at] == ',', parts.body[at] == '.'};
  return {};
}

std::optional<double> read_plain_number(std::string_view text) noexcept {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return {};
  return value;
}

std::string format_number(double value, int most) {
  auto text = fmt::format("{:.{}f}", value, most);
  if (text.find('.') == std::string::npos) return text;
  while (text.ends_with('0')) text.pop_back();
  if (text.ends_with('.')) text.pop_back();
  return text == "-0" ? "0" : text;
}

}  // namespace counterion::text
