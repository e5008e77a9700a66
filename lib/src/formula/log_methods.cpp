// SPDX-License-Identifier: MIT
#include "log_methods.hpp"

#include "amount.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion::formula {
namespace {

constexpr std::size_t longest = 80;  // bytes; more is prose

using Words = std::vector<std::string>;

// ---- methods ----

const WordSet strip_words{"strip",           "strips",       "paper",
                          "papier",          "litmus",       "lackmus",
                          "streifen",        "teststreifen", "phstreifen",
                          "stabchen",        "indicator",    "indikator",
                          "indikatorpapier", "bandelette",   "bandelettes",
                          "teststrip",       "teststrips",   "indikatorstreifen",
                          "stick",           "sticks",       "universalindikator",
                          "lakmus",          "tournesol",    "indicateur"};
const WordSet meter_words{"meter",      "metre",     "phmeter",     "phmetre",      "electrode",
                          "elektrode",  "messgerat", "gerat",       "calibrated",   "kalibriert",
                          "calibre",    "etalonne",  "calibration", "kalibrierung", "etalonnage",
                          "elektroden", "probe"};
const WordSet calibration_words{"calibrated", "kalibriert",   "calibre",
                                "etalonne",   "calibration",  "kalibrierung",
                                "etalonnage", "uncalibrated", "unkalibriert"};
const WordSet denials{"not",  "no",      "nicht", "ohne", "non", "pas",
                      "sans", "without", "never", "nie",  "un",  "keine"};
const WordSet uncalibrated_words{"uncalibrated", "unkalibriert", "ungeeicht"};
const WordSet point_words{"point",
                          "points",
                          "punkt",
                          "punkte",
                          "punkten",
                          "buffer",
                          "buffers",
                          "puffer",
                          "puffern",
                          "tampon",
                          "tampons",
                          "pt",
                          "pts",
                          "einpunkt",
                          "zweipunkt",
                          "punktkalibrierung",
                          "einpunktkalibrierung",
                          "zweipunktkalibrierung",
                          "dreipunkt",
                          "dreipunktkalibrierung",
                          "pkt"};
const WordSet one_words{"1",     "one", "single", "ein",      "einem",
                        "einen", "un",  "une",    "einpunkt", "einpunktkalibrierung"};
const WordSet more_words{"2",
                         "3",
                         "two",
                         "three",
                         "zwei",
                         "drei",
                         "deux",
                         "trois",
                         "4",
                         "5",
                         "zweipunkt",
                         "dreipunkt",
                         "zweipunktkalibrierung",
                         "dreipunktkalibrierung"};

/// Numbers with their decimals; those that stand before a word for points are left out.
std::vector<double> steps_in(std::string_view text) {
  std::vector<double> numbers;
  for (auto begin = text.find_first_of("0123456789"); begin != text.npos;) {
    auto end = std::min(text.find_first_not_of("0123456789.,", begin), text.size());
    auto digits = text.substr(begin, end - begin);
    while (digits.ends_with('.') || digits.ends_with(',')) digits.remove_suffix(1);
    const auto following = words_of(text.substr(end));
    const bool counts = !following.empty() && point_words.contains(following.front());
    const auto read = text::read_number(digits).number;
    if (read && !counts) numbers.push_back(read->value);
    begin = text.find_first_of("0123456789", end);
  }
  return numbers;
}

std::optional<double> step_in(std::string_view text) {
  const auto numbers = steps_in(text);
  const bool one = numbers.size() == 1 && numbers.front() > 0 && numbers.front() <= 2;
  return one ? std::optional(numbers.front()) : std::nullopt;
}

/// The method in words that say how well a meter was calibrated; empty where they say nothing of
/// one.
std::string_view method_in(const Words& words) {
  if (holds(words, uncalibrated_words)) return "meter-not-calibrated";
  const bool calibration = holds(words, calibration_words);
  if (calibration && holds(words, denials) && !holds(words, point_words))
    return "meter-not-calibrated";
  if (holds(words, point_words) && holds(words, more_words)) return "meter-two-points";
  if (holds(words, point_words) && holds(words, one_words)) return "meter-one-point";
  if (holds(words, strip_words)) return "strip";
  return calibration || holds(words, meter_words) ? "meter" : std::string_view();
}

// ---- dilutions ----

const WordSet undiluted_words{"neat",     "undiluted", "none",   "unverdunnt", "pur",
                              "nondilue", "direct",    "direkt", "asis",       "notdiluted",
                              "keine",    "ohne",      "rein",   "puris",      "nichtverdunnt",
                              "aucune",   "telquel",   "no",     "nein",       "non"};
const WordSet water_words{"in",
                          "water",
                          "wasser",
                          "eau",
                          "of",
                          "d",
                          "de",
                          "distilled",
                          "product",
                          "produkt",
                          "dans",
                          "aus",
                          "destilliertes",
                          "dest",
                          "deionised",
                          "deionized",
                          "produit",
                          "with",
                          "mit",
                          "avec",
                          "sample",
                          "probe",
                          "cream",
                          "creme",
                          "batch",
                          "slurry",
                          "and",
                          "und",
                          "et",
                          "distilliertem",
                          "destilliertem",
                          "vewasser",
                          "ro",
                          "demin",
                          "purified",
                          "stirred",
                          "part",
                          "parts",
                          "teil",
                          "teile",
                          "teilen",
                          "to",
                          "zu",
                          "a",
                          "sur",
                          "ad",
                          "auf",
                          "up",
                          "made",
                          "aufgefullt",
                          "solution",
                          "losung",
                          "suspension",
                          "dilution",
                          "verdunnung",
                          "the",
                          "all"};
const WordSet whole_words{"ad",  "auf",  "to",        "zu",
                          "sur", "made", "aufgefullt"};  // up to so much in all

struct Figure {
  double value = 0;
  std::string unit;  ///< the first word behind, or a sign
  std::size_t begin = 0, end = 0;
};

bool is_digit(char c) noexcept {
  return c >= '0' && c <= '9';
}

std::optional<std::vector<Figure>> figures_in(std::string_view text) {
  std::vector<Figure> figures;
  for (std::size_t begin = 0; begin < text.size();) {
    if (!is_digit(text[begin])) {
      ++begin;
      continue;
    }
    const auto end = std::min(text.find_first_not_of("0123456789.,", begin), text.size());
    const auto read = text::read_number(text.substr(begin, end - begin)).number;
    if (!read) return {};
    const auto words = words_of(text.substr(end));
    figures.push_back({read->value, words.empty() ? std::string() : words.front(), begin, end});
    begin = end;
  }
  return figures;
}

const WordSet mass_units{"g",       "gr", "gramm", "gram", "grams", "gramme",
                         "grammes", "ml", "cc",    "kg",   "l",     "mg"};

double grams_in(const Figure& figure) {
  if (figure.unit == "kg" || figure.unit == "l") return 1000 * figure.value;
  return figure.unit == "mg" ? 0.001 * figure.value : figure.value;
}

bool is_mass(const Figure& figure) {
  return mass_units.contains(figure.unit);
}

/// Whether there are no words but those that belong to a dilution.
bool is_about_water(std::string_view text) {
  return std::ranges::all_of(words_of(text), [](const std::string& word) {
    return word == "%" || is_digit(word.front()) || mass_units.contains(word) ||
           water_words.contains(word);
  });
}

std::optional<WrittenDilution> made_of(double product, double water, bool of_parts = false) {
  const bool fine =
      product > 0 && water >= 0 && product <= 1e9 && water <= 1e9 && water <= 1e6 * product;
  return fine ? std::optional(WrittenDilution{product, water, of_parts && water > 0})
              : std::nullopt;
}

std::optional<WrittenDilution> of_one(const Figure& figure, DilutionUnit unit) {
  if (figure.unit == "%" || (unit == DilutionUnit::percent && figure.unit.empty()))
    return made_of(figure.value, 100 - figure.value);
  if (unit == DilutionUnit::factor && figure.unit.empty()) return made_of(1, figure.value - 1);
  return {};
}

std::optional<WrittenDilution> of_two(std::string_view text, const Figure& first,
                                      const Figure& second) {
  const auto between = text.substr(first.end, second.begin - first.end);
  const auto sign = between.find_first_of(":/+");
  if (is_mass(first) != is_mass(second) && sign != between.npos) return {};
  const double a = grams_in(first), b = grams_in(second);
  if (between.find('+') != between.npos) return made_of(a, b);
  if (a + b == 100 && is_mass(first) == is_mass(second)) return made_of(a, b);
  if (sign != between.npos) return made_of(a, b - a, true);
  if (is_mass(first) && is_mass(second))
    return made_of(a, holds(words_of(between), whole_words) ? b - a : b);
  if (is_mass(first) || is_mass(second) || words_of(between).empty()) return {};
  return made_of(a, b - a);  // 1 part in 10
}

// ---- header lines ----

const WordSet celsius_units{"", "c", "degc", "celsius", "grad", "gradc", "gradcelsius", "deg"};
constexpr double most_millivolts = 1000;

/// A number and what stands behind it.
std::optional<text::Number> number_in(std::string_view text) {
  return text::read_number(text::trim(text)).number;
}

bool is_ph(double value) noexcept {
  return value >= 0 && value <= 14;
}

/// What the meter showed, pH or mV; nothing where the text says neither.
bool set_shown(std::string_view text, LogBuffer& buffer) {
  const auto number = number_in(text);
  if (!number) return false;
  const auto unit = text::normalise(number->unit);
  if (unit == "mv" && std::abs(number->value) <= most_millivolts)
    return buffer.millivolts = number->value, true;
  if ((!unit.empty() && unit != "ph") || !is_ph(number->value)) return false;
  return buffer.shown_ph = number->value, true;
}

std::string_view without_ph(std::string_view text) {
  text = text::trim(text);
  if (text.starts_with("pH") || text.starts_with("PH") || text.starts_with("ph"))
    text.remove_prefix(2);
  return text;
}

/// Where the temperature begins, and where it does after the word for that.
std::pair<std::size_t, std::size_t> temperature_in(std::string_view text) {
  for (const std::string_view word : {"@", " at ", " bei ", " à ", " a "})
    if (const auto found = text.find(word); found != text.npos) return {found, found + word.size()};
  return {text.size(), text.size()};
}

}  // namespace

std::optional<WrittenMethod> read_method(std::string_view text) {
  if (is_nothing(text) || text.size() > longest) return {};
  for (const auto known : reading_methods)
    if (text == known) return WrittenMethod{std::string(known), {}};
  const auto method = method_in(words_of(text));
  if (method.empty()) return {};
  return WrittenMethod{std::string(method), step_in(text)};
}

std::optional<WrittenDilution> read_dilution(std::string_view text, DilutionUnit unit) {
  if (text.size() > longest) return {};
  if (is_nothing(text) || undiluted_words.contains(text::normalise(text))) return WrittenDilution{};
  const auto figures = figures_in(text);
  const bool fine = figures && is_about_water(text) && !figures->empty() && figures->size() <= 2 &&
                    text.find('-') == text.npos;
  if (!fine) return {};
  return figures->size() == 1 ? of_one(figures->front(), unit)
                              : of_two(text, (*figures)[0], (*figures)[1]);
}

DilutionUnit dilution_unit_of(std::string_view head) {
  const auto words = words_of(head);
  if (holds(words, {"%", "percent", "prozent"})) return DilutionUnit::percent;
  const bool factor = holds(words, {"factor", "faktor", "facteur", "verdunnungsfaktor"});
  return factor ? DilutionUnit::factor : DilutionUnit::none;
}

std::optional<double> read_celsius(std::string_view text, text::DecimalMarks marks) {
  const auto number = text::read_number(text, marks).number;
  const bool fine = number && celsius_units.contains(text::normalise(number->unit)) &&
                    number->value >= 0 && number->value <= 100;
  return fine ? std::optional(number->value) : std::nullopt;
}

std::optional<LogBuffer> read_buffer(std::string_view text) {
  const auto equals = text.find_first_of("=:");
  if (equals == text.npos || text.size() > longest) return {};
  LogBuffer buffer;
  const auto nominal = number_in(without_ph(text.substr(0, equals)));
  if (!nominal || !nominal->unit.empty() || !is_ph(nominal->value)) return {};
  buffer.nominal_ph = nominal->value;
  const auto rest = text.substr(equals + 1);
  const auto [end, begin] = temperature_in(rest);
  if (!set_shown(without_ph(rest.substr(0, end)), buffer)) return {};
  if (end == rest.size()) return buffer;
  buffer.temperature_celsius = read_celsius(text::trim(rest.substr(begin)));
  return buffer.temperature_celsius ? std::optional(buffer) : std::nullopt;
}

std::optional<bool> read_yes_or_no(std::string_view text) {
  const auto word = text::normalise(text);
  if (WordSet{"yes", "ja", "oui", "true", "1", "atc", "on", "automatic", "automatisch"}.contains(
          word))
    return true;
  if (WordSet{"no", "nein", "non", "false", "0", "off", "none", "ohne"}.contains(word))
    return false;
  return {};
}

}  // namespace counterion::formula
