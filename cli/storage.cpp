// SPDX-License-Identifier: MIT
#include "storage.hpp"

#include <counterion/text/number.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <string>

namespace counterion::cli {
namespace {

struct Unit {
  std::string_view word;
  double days;
};
constexpr std::array units{Unit{"h", 1 / 24.0},    Unit{"hour", 1 / 24.0},  Unit{"hours", 1 / 24.0},
                           Unit{"d", 1},           Unit{"day", 1},          Unit{"days", 1},
                           Unit{"w", 7},           Unit{"week", 7},         Unit{"weeks", 7},
                           Unit{"month", 30.4375}, Unit{"months", 30.4375}, Unit{"y", 365.25},
                           Unit{"year", 365.25},   Unit{"years", 365.25}};
constexpr std::string_view expected_time =
    "a time such as \"90 days\", \"12 weeks\", \"3 months\" or \"2 years\"";
constexpr std::string_view expected_temperature = "degrees Celsius from -20 to 80, such as 40";

bool is_blank(char c) {
  return std::isspace(static_cast<unsigned char>(c)) != 0;
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

/// A piece of the text and where it begins, in characters from 1.
struct Piece {
  std::string_view text;
  std::size_t at;
};

/// Characters that part two stays here: a semicolon, a comma that is no decimal mark, "then".
std::size_t parting(std::string_view text, std::size_t i) {
  const auto beside = [&](std::size_t k) { return k < text.size() && is_digit(text[k]); };
  if (text[i] == ';') return 1;
  if (text[i] == ',') return i > 0 && beside(i - 1) && beside(i + 1) ? 0 : 1;
  const bool begins = i == 0 || !std::isalpha(static_cast<unsigned char>(text[i - 1]));
  return begins && text.substr(i, 5) == "then " ? 5 : 0;
}

std::vector<Piece> pieces_of(std::string_view text) {
  std::vector<Piece> pieces;
  std::size_t from = 0;
  const auto add = [&](std::size_t to) {
    const auto piece = trimmed(text.substr(from, to - from));
    if (!piece.empty())
      pieces.push_back({piece, static_cast<std::size_t>(piece.data() - text.data()) + 1});
  };
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t parts = parting(text, i);
    if (parts > 0) add(i), from = i + parts;
    i += std::max<std::size_t>(parts, 1);
  }
  add(text.size());
  return pieces;
}

void add_fault(std::vector<Problem>& problems, const Piece& piece, std::string_view expected) {
  problems.push_back({{},
                      fmt::format("--storage, character {}: '{}'", piece.at, piece.text),
                      std::string(expected),
                      {}});
}

std::optional<double> celsius_in(std::string_view text) {
  const auto number = text::read_number(text).number;
  if (!number) return std::nullopt;
  const bool known =
      number->unit.empty() || number->unit == "c" || number->unit == "°c" || number->unit == "°C";
  const bool possible = number->value >= -20 && number->value <= 80;
  return known && possible ? std::optional(number->value) : std::nullopt;
}

/// "90 days at 40", "25": what of it means nothing is a problem.
Stay stay_of(const Piece& piece, bool last, std::vector<Problem>& problems) {
  constexpr std::string_view word = " at ";
  const auto at = piece.text.find(word);
  const auto warmth = at == piece.text.npos ? piece
                                            : Piece{trimmed(piece.text.substr(at + word.size())),
                                                    piece.at + at + word.size()};
  const auto celsius = celsius_in(warmth.text);
  if (!celsius) add_fault(problems, warmth, expected_temperature);
  Stay stay{0, celsius.value_or(25)};
  if (at != piece.text.npos) {
    const Piece time{trimmed(piece.text.substr(0, at)), piece.at};
    stay.days = days_in(time.text).value_or(0);
    if (!(stay.days > 0)) add_fault(problems, time, expected_time);
  } else if (!last) {
    add_fault(problems, piece,
              "how long, such as \"90 days at 40\": only the last may be without a time");
  }
  return stay;
}

}  // namespace

std::optional<double> days_in(std::string_view text) {
  const auto number = text::read_number(trimmed(text)).number;
  if (!number || !(number->value >= 0)) return std::nullopt;
  const auto unit = std::ranges::find(units, std::string_view(number->unit), &Unit::word);
  return unit == units.end() ? std::nullopt : std::optional(number->value * unit->days);
}

std::vector<Stay> storage_in(std::string_view text) {
  const auto pieces = pieces_of(text);
  std::vector<Problem> problems;
  std::vector<Stay> storage;
  for (std::size_t i = 0; i < pieces.size(); ++i)
    storage.push_back(stay_of(pieces[i], i + 1 == pieces.size(), problems));
  if (pieces.empty())
    problems.push_back({{},
                        fmt::format("--storage is '{}'", text),
                        "\"25\", \"12 weeks at 45\" or \"90 days at 40, then 25\"",
                        {}});
  if (!problems.empty()) throw BadInput(std::move(problems));
  return storage;
}

}  // namespace counterion::cli
