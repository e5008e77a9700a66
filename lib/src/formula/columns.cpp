// SPDX-License-Identifier: MIT
#include "columns.hpp"

#include "words.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>

namespace counterion::formula {
namespace {

using Words = std::vector<std::string>;

const WordSet percent_words{
    "%",         "percent",     "percentage",   "prozent",         "pct",
    "procent",   "pourcentage", "porcentaje",   "percentuale",     "porcentagem",
    "porciento", "anteil",      "massenanteil", "gewichtsprozent", "massenprozent"};
const WordSet gram_words{"g",      "gr",      "gm",     "gram",   "grams", "gramm",
                         "gramme", "grammes", "gramos", "grammi", "grammo"};
const WordSet mass_words{"weight", "mass", "gewicht", "masse", "einwaage", "poids", "peso", "wt"};
const WordSet amount_words{"amount",   "quantity",    "qty",   "menge",  "quantite",  "cantidad",
                           "quantita", "quantidade",  "dosis", "dosage", "dose",      "dosierung",
                           "mengde",   "hoeveelheid", "mangd", "level",  "proportion"};
/// Words that say nothing of their own beside a unit or an amount.
const WordSet filler_words{"w",   "m",  "by",       "in",  "of",      "the",   "per",
                           "gew", "ma", "gewichts", "use", "formula", "total", "batch",
                           "en",  "de", "di",       "du",  "em",      "zu",    "pro"};
const WordSet strength_words{
    "strength",        "active", "actives", "assay",    "purity", "starke", "aktiv",  "aktivgehalt",
    "wirkstoffgehalt", "was",    "matter",  "reinheit", "titre",  "purete", "pureza", "purezza"};
const WordSet concentration_words{
    "concentration", "konzentration", "concentracion", "concentrazione",
    "concentracao",  "gehalt",        "conc",          "konz"};
const WordSet phase_words{"phase", "phases", "fase", "faza", "fas"};
const WordSet note_words{
    "note",      "notes",         "remark",       "remarks",     "comment",      "comments",
    "bemerkung", "bemerkungen",   "anmerkung",    "anmerkungen", "kommentar",    "notiz",
    "notizen",   "remarque",      "remarques",    "commentaire", "commentaires", "nota",
    "notas",     "observaciones", "osservazioni", "observacoes"};
const WordSet trade_names{"tradename",     "tradenames",      "commercialname",  "handelsname",
                          "nomcommercial", "nombrecomercial", "nomecommerciale", "nomecomercial"};
const WordSet ingredients{"ingredient",
                          "ingredients",
                          "ingredientname",
                          "rawmaterial",
                          "rawmaterials",
                          "rawmaterialname",
                          "material",
                          "materials",
                          "component",
                          "components",
                          "name",
                          "substance",
                          "substances",
                          "item",
                          "chemical",
                          "chemicalname",
                          "zutat",
                          "zutaten",
                          "rohstoff",
                          "rohstoffe",
                          "inhaltsstoff",
                          "inhaltsstoffe",
                          "bestandteil",
                          "bestandteile",
                          "substanz",
                          "bezeichnung",
                          "stoff",
                          "komponente",
                          "matierepremiere",
                          "matierespremieres",
                          "composant",
                          "composants",
                          "nom",
                          "ingrediente",
                          "ingredientes",
                          "ingredienti",
                          "materiaprima",
                          "materiasprimas",
                          "materieprime",
                          "componente",
                          "componentes",
                          "componenti",
                          "nombre",
                          "nome",
                          "grondstof",
                          "grondstoffen",
                          "ravare",
                          "ravara",
                          "skladnik",
                          "surowiec",
                          "product",
                          "produkt",
                          "produit",
                          "producto",
                          "prodotto"};
const WordSet ph_fillers{
    "ph",      "declared", "of",  "material", "raw",  "as",    "supplied", "in",      "water",
    "at",      "solution", "low", "lower",    "high", "upper", "min",      "minimum", "max",
    "maximum", "from",     "to",  "von",      "bis",  "%",     "wert",     "value",   "rohstoff"};

bool is_number(const std::string& word) {
  return word.find_first_not_of("0123456789") == std::string::npos;
}

HeaderCell read_ph_header(const Words& words) {
  HeaderCell cell{Role::ph, 1, {}};
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (is_number(words[i])) {
      cell.at_percent = text::read_plain_number(words[i]);
    } else if (!ph_fillers.contains(words[i])) {
      return {};
    }
  }
  if (holds(words, {"low", "lower", "min", "minimum", "from", "von"})) cell.role = Role::ph_low;
  if (holds(words, {"high", "upper", "max", "maximum", "to", "bis"})) cell.role = Role::ph_high;
  return cell;
}

bool is_about_amounts_only(const Words& words) {
  return std::ranges::all_of(words, [](const auto& word) {
    return is_number(word) || word == "kg" || word == "mg" || percent_words.contains(word) ||
           gram_words.contains(word) || mass_words.contains(word) || amount_words.contains(word) ||
           filler_words.contains(word);
  });
}

/// "% w/w", "w/w", "g/100 g", "Amount (g)", "Weight", "Amount".
HeaderCell read_amount_header(const Words& words) {
  const bool per_hundred = joined(words) == "g100g" || joined(words) == "gper100g";
  const bool by_weight =
      words.size() == 2 && words[0] == words[1] && (words[0] == "w" || words[0] == "m");
  if (per_hundred || by_weight || holds(words, percent_words)) return {Role::percent, 1, {}};
  if (holds(words, {"kg"})) return {Role::grams, 1000, {}};
  if (holds(words, {"mg"})) return {Role::grams, 0.001, {}};
  if (holds(words, gram_words) || holds(words, mass_words)) return {Role::grams, 1, {}};
  return {holds(words, amount_words) ? Role::amount : Role::unknown, 1, {}};
}

}  // namespace

bool names_an_amount(const Words& words) {
  return holds(words, percent_words) || holds(words, gram_words) || holds(words, {"kg", "mg"});
}

HeaderCell read_header_cell(std::string_view text) {
  const auto words = words_of(text);
  if (words.empty()) return {};
  const auto key = joined(words);
  if (trade_names.contains(key)) return {Role::trade_name, 1, {}};
  if (ingredients.contains(key)) return {Role::ingredient, 1, {}};
  if (holds(words, {"inci"})) return {Role::inci, 1, {}};
  if (holds(words, {"ph"})) return read_ph_header(words);
  if (phase_words.contains(key)) return {Role::phase, 1, {}};
  if (note_words.contains(key)) return {Role::note, 1, {}};
  if (holds(words, strength_words)) return {Role::strength, 1, {}};
  if (holds(words, concentration_words)) return {Role::concentration, 1, {}};
  return is_about_amounts_only(words) ? read_amount_header(words) : HeaderCell{};
}

std::optional<std::size_t> Columns::position(Role role) const noexcept {
  const auto found = std::ranges::find(cells, role, &HeaderCell::role);
  if (found == cells.end()) return {};
  return static_cast<std::size_t>(found - cells.begin());
}

bool Columns::has_ingredient() const noexcept {
  return has(Role::inci) || has(Role::ingredient) || has(Role::trade_name);
}

bool Columns::has_amount() const noexcept {
  return amount_position().has_value();
}

std::size_t Columns::known() const noexcept {
  return cells.size() -
         static_cast<std::size_t>(std::ranges::count(cells, Role::unknown, &HeaderCell::role));
}

std::optional<std::size_t> Columns::amount_position() const noexcept {
  for (const auto role : {Role::percent, Role::grams, Role::amount, Role::concentration}) {
    if (const auto found = position(role)) return found;
  }
  return {};
}

}  // namespace counterion::formula
