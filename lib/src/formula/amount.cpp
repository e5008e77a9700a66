// SPDX-License-Identifier: MIT
#include "amount.hpp"

#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <vector>

namespace counterion::formula {
namespace {

constexpr std::size_t longest_cell = 80;  // bytes of an amount or a pH; more is prose

const WordSet fill_words{"qs",       "qsp",       "csp",  "cs",           "qb",
                         "balance",  "bal",       "rest", "reste",        "resto",
                         "restante", "remainder", "ad",   "quantumsatis", "auffullen"};
const WordSet fill_words_before_number{
    "to",     "upto", "qsto", "qsad", "adto",         "balanceto", "balto",
    "qba",    "cspa", "qspa", "auf",  "auffullenauf", "makeupto",  "madeupto",
    "fillto", "bis",  "a",    "add",  "restto"};
const WordSet percent_units{"%",  "%ww", "%wt",     "wt%",     "w%",  "gew%",
                            "m%", "ma%", "percent", "prozent", "pct", "%mm"};
const WordSet gram_units{"g",     "gr",     "gm",      "gram",   "grams",
                         "gramm", "gramme", "grammes", "gramos", "grammi"};

/// The unit as percent or grams with its factor; nothing where it is neither.
struct UnitReading {
  Unit unit = Unit::none;
  double factor = 1;
};

std::optional<UnitReading> read_unit(std::string_view unit) {
  const auto key = joined(words_of(unit));
  if (unit.empty()) return UnitReading{};
  if (percent_units.contains(key)) return UnitReading{Unit::percent, 1};
  if (gram_units.contains(key)) return UnitReading{Unit::grams, 1};
  if (key == "kg") return UnitReading{Unit::grams, 1000};
  if (key == "mg") return UnitReading{Unit::grams, 0.001};
  return {};
}

Amount faulty(std::string fault, std::string expected) {
  return {AmountKind::fault, 0, Unit::none, 1, {}, std::move(fault), std::move(expected)};
}

std::string in_quotes(std::string_view text) {
  return fmt::format("'{}'", text);
}

/// "q.s.", "q.s. ad 100", "to 100 %", "ad 500 g"; nothing where the text is another.
std::optional<Amount> read_fill(std::string_view text) {
  const auto digit = std::min(text.find_first_of("0123456789"), text.size());
  const auto before = text::normalise(text.substr(0, digit));
  Amount amount{AmountKind::fill, 0, Unit::none, 1, {}, {}, {}};
  if (digit == text.size())
    return fill_words.contains(before) ? std::optional(amount) : std::nullopt;
  if (!fill_words.contains(before) && !fill_words_before_number.contains(before)) return {};
  const auto number = text::read_number(text.substr(digit)).number;
  const auto unit = number ? read_unit(number->unit) : std::nullopt;
  if (!unit) return faulty(in_quotes(text) + " fills up to no amount", "q.s., or to 100");
  amount.fill_to = number->value * unit->factor;
  amount.unit = unit->unit;
  return amount;
}

Amount read_measured(std::string_view text, text::DecimalMarks seen) {
  const auto reading = text::read_number(text, seen);
  const std::string expected = "a number of percent or grams, or q.s. once";
  if (!reading.number) return faulty(reading.fault, expected);
  const auto& number = *reading.number;
  const auto unit = read_unit(number.unit);
  if (!unit) return faulty(in_quotes(text) + " is neither percent nor grams", expected);
  if (number.value < 0) return faulty(in_quotes(text) + " is negative", "0 or more");
  return {AmountKind::number,
          number.value * unit->factor,
          unit->unit,
          number.last_digit * unit->factor,
          {},
          {},
          {}};
}

}  // namespace

bool is_nothing(std::string_view text) {
  const auto key = text::normalise(text);
  return text::trim(text).empty() || key == "na" ||
         (key.empty() && text.find_first_of("%?.,;:+") == std::string_view::npos);
}

Amount read_amount(std::string_view text, text::DecimalMarks seen) {
  text = text::trim(text);
  if (is_nothing(text)) return {};
  if (text.size() > longest_cell) return faulty("a long text", "a number of percent or grams");
  if (auto fill = read_fill(text)) return *fill;
  const auto words = words_of(text);
  const bool asks_for_ph =
      std::ranges::find(words, "ph") != words.end() || text::normalise(text) == "asneeded";
  if (asks_for_ph) {
    return faulty(in_quotes(text) + " is no amount",
                  "a number; leave the adjuster out, how much of it is what the answer says");
  }
  return read_measured(text, seen);
}

std::optional<double> read_share_percent(std::string_view text, text::DecimalMarks seen) {
  const auto amount = read_amount(text, seen);
  const bool fine = amount.kind == AmountKind::number && amount.unit != Unit::grams &&
                    amount.value > 0 && amount.value <= 100;
  return fine ? std::optional(amount.value) : std::nullopt;
}

std::optional<double> read_mass_g(std::string_view text) {
  const auto amount = read_amount(text, {});
  const bool fine =
      amount.kind == AmountKind::number && amount.unit != Unit::percent && amount.value > 0;
  return fine ? std::optional(amount.value) : std::nullopt;
}

namespace {

/// The numbers of a text such as "11.5 - 12.5 @ 10 %", and whether a percent sign follows each.
struct Figure {
  double value = 0;
  bool percent = false;
};

std::optional<std::vector<Figure>> figures_of(std::string_view text) {
  std::vector<Figure> figures;
  constexpr std::string_view digits = "0123456789.,";
  for (auto begin = text.find_first_of("0123456789"); begin != std::string_view::npos;) {
    const auto end = std::min(text.find_first_not_of(digits, begin), text.size());
    auto number = text.substr(begin, end - begin);
    while (number.ends_with('.') || number.ends_with(',')) number.remove_suffix(1);
    const auto reading = text::read_number(number);
    if (!reading.number) return {};
    figures.push_back({reading.number->value, text::trim(text.substr(end)).starts_with('%')});
    begin = text.find_first_of("0123456789", end);
  }
  return figures;
}

const WordSet ph_words{"ph",     "to",     "bis",      "a",      "at",  "in", "bei",
                       "water",  "wasser", "solution", "losung", "sol", "aq", "ca",
                       "approx", "about",  "neat",     "as",     "is",  "w"};

bool has_only_ph_words(std::string_view text) {
  return std::ranges::all_of(words_of(text), [](const std::string& word) {
    return word == "%" || ph_words.contains(word) ||
           word.find_first_not_of("0123456789") == std::string::npos;
  });
}

constexpr bool is_on_scale(double value) noexcept {
  return value >= 0 && value <= 14;
}

}  // namespace

std::optional<DeclaredPh> read_declared_ph(std::string_view text) {
  text = text::trim(text);
  const bool prose = text.size() > longest_cell || !has_only_ph_words(text);
  if (prose || text.starts_with('-')) return {};
  auto figures = figures_of(text);
  if (!figures || figures->empty()) return {};
  std::optional<double> at_percent;
  if (figures->back().percent) {
    at_percent = figures->back().value;
    figures->pop_back();
  }
  if (figures->empty() || figures->size() > 2) return {};
  const DeclaredPh declared{figures->front().value, figures->back().value, at_percent};
  const bool fine = is_on_scale(declared.low) && is_on_scale(declared.high) &&
                    declared.low <= declared.high && !figures->front().percent &&
                    !figures->back().percent &&
                    (!at_percent || (*at_percent > 0 && *at_percent <= 100));
  return fine ? std::optional(declared) : std::nullopt;
}

}  // namespace counterion::formula
