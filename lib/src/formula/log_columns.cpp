// SPDX-License-Identifier: MIT
#include "log_columns.hpp"

#include "amount.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <map>

namespace counterion::formula {
namespace {

const WordSet added_words{
    "added",         "addition", "additions", "adjuster",   "titrant",    "reagent", "acid",
    "base",          "alkali",   "or",        "what",       "was",        "stock",   "portion",
    "weighed",       "in",       "zugabe",    "zugegeben",  "zugesetzt",  "zusatz",  "eingewogen",
    "titriermittel", "reagenz",  "saure",     "lauge",      "oder",       "was",     "stammlosung",
    "ajout",         "ajoute",   "ajoutee",   "ajoutes",    "reactif",    "acide",   "ou",
    "pese",          "titrante", "since",     "line",       "last",       "before",  "je",
    "schritt",       "step",     "each",      "increment"};
const WordSet total_words{"total",     "totals",     "cumulative",  "cumulated", "cum",   "sum",
                          "running",   "sofar",      "so",          "far",       "summe", "gesamt",
                          "insgesamt", "kumuliert",  "kumulativ",   "bisher",    "cumul", "gesamtmenge",
                          "cumule",    "cumulee",    "cumules",     "cumulatif", "totale"};
const WordSet filling_words{"so", "far", "sofar", "bisher", "running"};  // no total of their own
const WordSet molar_words{"mol",        "mmol",      "molar",     "molarity", "molaritat", "molarite",
                          "normality",  "normalitat", "normalite", "meq",      "mval"};
const WordSet other_things{"batch", "formula"};  // that may be weighed
const WordSet volume_words{"ml",         "ul",          "cl",          "volume",  "volumen", "vol",
                           "milliliter", "millilitre",  "milliliters", "drop",    "drops",   "tropfen",
                           "millilitres", "mikroliter", "goutte",      "gouttes", "microlitres"};
const WordSet time_words{"week",    "weeks", "woche", "wochen", "semaine", "semaines",
                         "days",    "tage",  "jours", "s",      "seconds", "sekunden","time",    "times", "zeit",  "uhrzeit", "zeitpunkt", "datum",   "date",
                         "day",     "tag",   "heure", "jour",    "temps",     "minutes", "minuten",
                         "minute",  "min",   "clock", "elapsed", "when",      "wann",    "timestamp",
                         "h",       "hh",    "mm",    "ss",      "hour",      "hours",   "stunde",
                         "stunden", "and",   "und",   "et"};
const WordSet temperature_words{"temperature", "temperatures", "temp", "temperatur", "t",
                                "celsius",     "c",            "degc", "deg",        "grad",
                                "in",          "of",           "the",  "sample",     "batch",
                                "probe",       "en",           "de",   "l",          "der"};
const WordSet temperature_heads{"temperature", "temperatures", "temp", "temperatur",
                                "celsius",     "c",            "degc"};
const WordSet method_words{"method",    "methode",    "messmethode",   "messverfahren", "verfahren",
                           "messgerat", "instrument", "of",            "reading",       "how",
                           "read",      "measured",   "with",          "gemessen",      "mit",
                           "mesure",    "avec",       "de",            "messung",       "measurement"};
const WordSet method_heads{"method", "methode", "messmethode", "messverfahren", "verfahren",
                           "messgerat", "instrument", "how"};
const WordSet dilution_words{
    "dilution", "diluted", "verdunnung", "verdunnt",          "dilue", "diluee",  "slurry",
    "factor",   "faktor",  "facteur",    "verdunnungsfaktor", "%",     "in",      "water",
    "wasser",   "eau",     "of",         "for",               "the",   "reading", "zur",
    "messung",  "de",      "la",         "dans",              "sample", "probe",  "g", "l"};
const WordSet dilution_heads{"dilution", "diluted", "verdunnung",        "verdunnt",
                             "dilue",    "diluee",  "verdunnungsfaktor", "slurry"};
const WordSet reading_words{"reading", "readings", "read",    "measured", "measurement", "messwert",
                            "messung", "gemessen", "ablesung", "abgelesen", "mesure",    "mesuree",
                            "lu",      "lecture",  "observed", "actual",    "meter",     "anzeige",
                            "after",   "nach",     "apres",    "ist",       "valeur",    "the",
                            "addition", "zugabe",  "ajout"};
const WordSet no_addition_words{"none",  "nothing", "start",   "initial", "begin",  "beginning",
                                "keine", "nichts",  "nix",     "anfang",  "beginn", "ohne",
                                "rien",  "aucun",   "aucune",  "debut",   "before", "blank",
                                "leer",  "vorher",  "depart",  "sans",    "zero",   "0"};

bool all_in(const std::vector<std::string>& words, const WordSet& set) {
  return std::ranges::all_of(words, [&](const auto& word) { return set.contains(word); });
}

std::vector<std::string> without(std::vector<std::string> words, const WordSet& set) {
  std::erase_if(words, [&](const auto& word) { return set.contains(word); });
  return words;
}

HeaderCell formula_cell(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words) text += word + ' ';
  return read_header_cell(text);
}

/// A pH of the batch as it is; one of a dilution, a target or a limit is another thing.
HeaderCell read_ph(const std::vector<std::string>& words) {
  const auto cell = formula_cell(without(words, reading_words));
  const bool fine = cell.role == Role::ph && !cell.at_percent;
  return fine ? cell : HeaderCell{};
}

/// Grams since the line before, or in total; a mass or share of something else is unclear.
HeaderCell read_addition(const std::vector<std::string>& words) {
  const bool total = holds(words, total_words) && !all_in(words, filling_words);
  const auto rest = without(without(words, added_words), total_words);
  if (rest.empty()) return {total ? Role::total : Role::ingredient, 1, {}};
  auto cell = formula_cell(rest);
  const bool amount = cell.role == Role::grams || cell.role == Role::amount;
  if (amount) cell.role = holds(words, other_things) ? Role::unclear : total ? Role::total : Role::grams;
  const bool stock = holds(words, {"stock", "stammlosung"});
  if (cell.role == Role::percent) cell.role = stock ? Role::strength : Role::unclear;
  if (cell.role == Role::concentration) cell.role = Role::strength;
  if (cell.role == Role::strength && holds(words, {"g", "mg", "kg"})) cell.role = Role::unclear;
  if (cell.role == Role::phase) cell.role = Role::unknown;
  if (cell.role == Role::unknown && names_an_amount(words)) cell.role = Role::unclear;
  return cell;
}

}  // namespace

HeaderCell read_log_header_cell(std::string_view text) {
  const auto words = words_of(text);
  if (words.empty()) return {};
  if (holds(words, {"ph"})) return read_ph(words);
  if (holds(words, volume_words)) return {Role::volume, 1, {}};
  if (all_in(words, dilution_words) && holds(words, dilution_heads)) return {Role::dilution, 1, {}};
  if (all_in(words, method_words) && holds(words, method_heads)) return {Role::method, 1, {}};
  if (all_in(words, time_words)) return {Role::time, 1, {}};
  if (all_in(words, temperature_words) && holds(words, temperature_heads)) {
    return {Role::temperature, 1, {}};
  }
  return holds(words, molar_words) ? HeaderCell{Role::unclear, 1, {}} : read_addition(words);
}

bool is_no_addition(std::string_view text) {
  return is_nothing(text) || no_addition_words.contains(text::normalise(text));
}

std::string log_key(std::string_view key) {
  static const std::map<std::string, std::string, std::less<>> known{
      {"sample", "sample"}, {"probe", "sample"},     {"muster", "sample"}, {"echantillon", "sample"},
      {"batch", "batch"},   {"ansatz", "batch"},     {"lot", "batch"},     {"with", "with"},
      {"mit", "with"},      {"avec", "with"},        {"titrant", "with"},  {"titriermittel", "with"},
      {"added", "with"},    {"zugabe", "with"},      {"ajout", "with"},
      {"mixed", "mixed"},   {"made", "mixed"},       {"gemischt", "mixed"},
      {"hergestellt", "mixed"}, {"angesetzt", "mixed"}, {"melange", "mixed"},
      {"prepare", "mixed"}, {"fabrique", "mixed"},   {"buffer", "buffer"},
      {"puffer", "buffer"}, {"tampon", "buffer"},    {"calibrated", "calibrated"},
      {"kalibriert", "calibrated"}, {"etalonne", "calibrated"}, {"calibre", "calibrated"},
      {"compensated", "compensated"}, {"kompensiert", "compensated"},
      {"temperaturkompensiert", "compensated"}, {"compense", "compensated"}};
  const auto found = known.find(text::normalise(key));
  if (found != known.end()) return found->second;
  const auto begin = std::min(key.find_first_not_of("# \t"), key.size());
  std::string lower(text::trim(key.substr(begin)));
  std::ranges::transform(lower, lower.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return lower;
}

}  // namespace counterion::formula
