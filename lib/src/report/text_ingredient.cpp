// SPDX-License-Identifier: MIT
#include <counterion/report/ingredient.hpp>

#include "page.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion {
namespace {

using report::amount_text;
using report::Look;
using report::ph_text;

std::string reliability_text(tables::Reliability reliability) {
  constexpr std::array<std::string_view, 6> words{
      "read in the source", "computed from a figure read there",
      "common practice",    "from memory, not looked up",
      "our assumption",     "from your own folder"};
  return std::string(words[static_cast<std::size_t>(reliability)]);
}

/// One ingredient's page; remembers the rows it cites.
class IngredientPage {
 public:
  IngredientPage(const IngredientFacts& facts, const TextStyle& style)
      : facts_(facts), tables_(facts.tables), sheet_(style) {}

  std::string write() && {
    say_what_it_is();
    say_what_it_brings();
    say_constants();
    say_ph_alone();
    say_ranges();
    say_levels();
    say_cautions();
    say_changes();
    say_sources();
    return std::move(sheet_).finish();
  }

 private:
  std::string cite(const tables::Provenance& provenance) {
    auto place = std::ranges::find(cited_, provenance.row_id, &tables::Provenance::row_id);
    if (place == cited_.end()) place = cited_.insert(place, provenance);
    return fmt::format("{}[{}]", report::no_break, place - cited_.begin() + 1);
  }
  /// Rows of one kind together, the one that is used before the others.
  template <class Row>
  static std::vector<Row> by_rank(std::span<const Row> rows) {
    std::vector<Row> sorted(rows.begin(), rows.end());
    std::ranges::stable_sort(sorted, {},
                             [](const Row& row) { return std::pair(row.kind, row.rank); });
    return sorted;
  }
  void heading_once(std::string_view title, bool& said) {
    if (!said) sheet_.heading(title);
    said = true;
  }

  void say_what_it_is() {
    const auto& row = facts_.ingredient;
    sheet_.paragraph(sheet_.look(Look::strong, tables_.display_name(row.id)), 0, 0);
    std::string functions(row.functions);
    for (auto at = functions.find(';'); at != functions.npos; at = functions.find(';', at))
      functions.replace(at, 1, ", ");
    std::string text = fmt::format("INCI {}; id {}", row.inci, row.id);
    if (!row.cas.empty()) text += fmt::format("; CAS {}", row.cas);
    if (!functions.empty()) text += "; " + functions;
    if (row.use_minimum_percent && row.use_maximum_percent)
      text +=
          fmt::format("; usual {:g} to {:g} %", *row.use_minimum_percent, *row.use_maximum_percent);
    sheet_.paragraph(text + cite(row.provenance));
    const auto names = tables_.names_of(row.id);
    if (!names.empty()) sheet_.paragraph(fmt::format("Also called: {}", fmt::join(names, ", ")));
    const auto classes = tables_.classes_of(row.id);
    if (!classes.empty()) sheet_.paragraph(fmt::format("Counts as: {}", fmt::join(classes, ", ")));
  }

  void say_what_it_brings() {
    sheet_.heading("What a gram of it brings, as supplied");
    for (const auto& row : tables_.composition_of(facts_.ingredient.id)) {
      const auto* substance = tables_.substance(row.component);
      std::string text = fmt::format("{:.4g} g {}", row.mass_fraction,
                                     substance ? substance->name : row.component);
      if (row.uncertainty > 0) text += fmt::format(" ± {:g}", row.uncertainty);
      sheet_.paragraph(text + cite(row.provenance), 2, 4);
    }
    const auto& residual = facts_.material.residual;
    if (residual.basis.empty()) return;
    sheet_.paragraph(
        fmt::format("and beyond these {:.2g} to {:.2g} meq of alkali (− is acid) that nobody "
                    "weighed, from {} [{}]",
                    residual.low_mol_per_g * 1000, residual.high_mol_per_g * 1000, residual.basis,
                    residual.row_id),
        2, 4);
  }

  /// The substances in it, and what its salts fall apart into.
  std::vector<std::string_view> substances() const {
    std::vector<std::string_view> ids;
    for (const auto& part : facts_.material.parts)
      for (const auto& piece : part.pieces)
        if (std::ranges::find(ids, piece.substance->id) == ids.end())
          ids.push_back(piece.substance->id);
    return ids;
  }
  std::string constant_text(const tables::Constant& row) {
    std::string text;
    if (row.quantity == "pK") {
      text = fmt::format("pK {} {:g}", row.step, row.value);
    } else {
      text = fmt::format("{} {:g}", row.quantity, row.value);
      if (!row.partner.empty()) text += fmt::format(", {}", row.partner);
      if (!row.unit.empty()) text += fmt::format(", {}", row.unit);
    }
    if (row.uncertainty > 0) text += uncertainty_text(row);
    if (row.temperature_celsius) text += fmt::format(", {:g} °C", *row.temperature_celsius);
    if (row.ionic_strength_mol_per_kg)
      text += fmt::format(", I {:g}", *row.ionic_strength_mol_per_kg);
    if (row.dH_kJ_per_mol) text += fmt::format(", ΔH {:g} kJ/mol", *row.dH_kJ_per_mol);
    if (row.dCp_J_per_mol_K) text += fmt::format(", ΔCp {:g} J/(mol K)", *row.dCp_J_per_mol_K);
    return text + cite(row.provenance);
  }
  /// Three quantities have the ± of their logarithm.
  static std::string uncertainty_text(const tables::Constant& row) {
    constexpr std::array<std::string_view, 3> of_logarithm{"micelle-binding", "oil-dimerisation",
                                                           "oil-water-partition"};
    if (std::ranges::find(of_logarithm, row.quantity) == of_logarithm.end())
      return fmt::format(" ± {:g}", row.uncertainty);
    const double factor = std::pow(10.0, row.uncertainty);
    return fmt::format(" (from {} to {})", amount_text(row.value / factor),
                       amount_text(row.value * factor));
  }
  void say_constants() {
    bool said = false;
    for (const auto id : substances())
      for (const auto& row : tables_.constants_of(id)) {
        if (row.quantity == "specific-ion-interaction" || row.quantity == "dissociates-into")
          continue;
        heading_once("Constants (pK: the pH at which half of it has given off that proton)", said);
        const auto& name = tables_.substance(id)->name;
        sheet_.paragraph(
            fmt::format("{}{}: {}", row.rank == 1 ? "" : "or ", name, constant_text(row)), 2, 4);
      }
  }
  void say_ph_alone() {
    if (facts_.solutions.empty()) return;
    sheet_.heading("Alone in pure water, predicted");
    for (const auto& solution : facts_.solutions)
      sheet_.paragraph(fmt::format("{:g} %: pH {} ({} to {}){}", solution.percent,
                                   ph_text(solution.ph), ph_text(solution.p05),
                                   ph_text(solution.p95),
                                   solution.saturated ? "; not all of it dissolves" : ""));
  }

  void say_ranges() {
    bool said = false;
    for (const auto& row : by_rank(tables_.ranges_of(facts_.ingredient.id))) {
      heading_once("Spans of pH; where sources differ the first is used", said);
      std::string text = fmt::format("{}{}: {}", row.rank == 1 ? "" : "or ", row.kind,
                                     report::span_text(row.minimum, row.maximum));
      if (row.ideal_low || row.ideal_high)
        text += fmt::format(", best {}", report::span_text(row.ideal_low, row.ideal_high));
      if (row.at_percent) text += fmt::format(", at {:g} %", *row.at_percent);
      if (!row.condition.empty()) text += fmt::format(", {}", row.condition);
      if (row.kind != "as-supplied" && row.rank == 1 && !row.why.empty())
        text += fmt::format("; {}", row.why);
      if (row.rank == 1 && !row.rank_reason.empty())
        text += fmt::format(" (first because: {})", row.rank_reason);
      sheet_.paragraph(text + cite(row.provenance), 2, 4);
    }
  }
  void say_levels() {
    bool said = false;
    for (const auto& row : by_rank(tables_.levels_of(facts_.ingredient.id))) {
      heading_once("Levels", said);
      std::string text = fmt::format("{}{}", row.rank == 1 ? "" : "or ", row.kind);
      for (const auto part : {row.market, row.product})
        if (!part.empty()) text += fmt::format(", {}", part);
      text += fmt::format(": {:g}", row.value);
      if (row.upper_value) text += fmt::format(" to {:g}", *row.upper_value);
      text += fmt::format(" {}", row.unit);
      if (!row.expressed_as.empty()) text += fmt::format(", counted as {}", row.expressed_as);
      if (!row.condition.empty()) text += fmt::format(", {}", row.condition);
      sheet_.paragraph(text + cite(row.provenance), 2, 4);
    }
  }
  void say_cautions() {
    bool said = false;
    const auto id = facts_.ingredient.id;
    for (const auto& row : tables_.cautions()) {
      const bool first = tables_.covers(row.a, id),
                 second = !row.b.empty() && tables_.covers(row.b, id);
      if (!first && !second) continue;
      heading_once("Cautions", said);
      std::string with(first ? row.b : row.a);
      std::string text = with.empty() ? std::string() : fmt::format("with {}: ", with);
      if (row.minimum_ph || row.maximum_ph)
        text += fmt::format("(pH {}) ", report::span_text(row.minimum_ph, row.maximum_ph));
      sheet_.paragraph(
          text + fmt::format("{} {}", row.what_happens, row.what_to_do) + cite(row.provenance), 2,
          4);
    }
  }
  void say_changes() {
    bool said = false;
    for (const auto& row : tables_.changes_of(facts_.ingredient.id)) {
      heading_once("Slow changes", said);
      std::string text = fmt::format("{}: ", row.quantity);
      if (row.value) text += fmt::format("{:g} {}, ", *row.value, row.unit);
      if (row.minimum_ph || row.maximum_ph)
        text += fmt::format("pH {}, ", report::span_text(row.minimum_ph, row.maximum_ph));
      if (row.temperature_celsius) text += fmt::format("{:g} °C, ", *row.temperature_celsius);
      sheet_.paragraph(text + std::string(row.watch_for) + cite(row.provenance), 2, 4);
    }
  }
  void say_sources() {
    sheet_.heading("Sources: the row, and who says so");
    for (std::size_t i = 0; i < cited_.size(); ++i) {
      const auto& row = cited_[i];
      std::string text =
          fmt::format("[{}] {}: {}", i + 1, row.row_id, reliability_text(row.reliability));
      const auto* source = tables_.source(row.source);
      const bool in_print = source && row.source != "memory" && row.source != "assumption" &&
                            row.source != "common-practice" && row.source != "own";
      if (in_print) text += fmt::format("; {}", source->citation);
      if (!row.locator.empty()) text += fmt::format(", {}", row.locator);
      if (!row.as_printed.empty()) text += fmt::format(", as printed: {}", row.as_printed);
      if (in_print && !source->date_seen.empty())
        text += fmt::format(" (seen {})", source->date_seen);
      if (!row.note.empty()) text += fmt::format(". {}", row.note);
      sheet_.paragraph(text, 2, 6);
    }
  }

  const IngredientFacts& facts_;
  const Tables& tables_;
  report::Sheet sheet_;
  std::vector<tables::Provenance> cited_;
};

}  // namespace

std::string text_report(const IngredientFacts& facts, const TextStyle& style) {
  return IngredientPage(facts, style).write();
}

}  // namespace counterion
