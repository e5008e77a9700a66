// SPDX-License-Identifier: MIT
#include "facts.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

std::string at_ph(const CheckResult& result) {
  return result.target ? fmt::format("at pH {}", ph_text(*result.target))
                       : fmt::format("at the predicted pH {}",
                                     ph_text(result.prediction->ph, *result.prediction));
}

std::string names_text(const CheckResult& result, const std::vector<std::size_t>& items) {
  std::vector<std::string> names;
  for (const std::size_t i : items) names.push_back(item_name(result, i));
  return joined(names);
}

std::string active_text(double percent) { return percent < 0.001 ? "under 0.001" : amount_text(percent); }

/// What the figure says, in the words of the trade: it comes from broth.
std::string against_figure(Page& page, const PreservativeState& state, double active) {
  const bool suffice = page.result.preservation.acids_suffice();
  if (!state.least_active) return "; no inhibition figure is in the tables";
  const bool short_of_it = active < *state.least_active;
  return fmt::format("; {} a laboratory inhibition figure, {:g}{}%{}{}", short_of_it ? "below" : "above",
                     *state.least_active, no_break, page.cite(state.source, state.row_id),
                     !short_of_it ? "" : suffice ? " by itself" : ": too little here");
}

void say_state(Page& page, const PreservativeState& state) {
  const bool aimed = state.share_at_target.has_value();
  const double share = aimed ? *state.share_at_target : state.share_at_predicted;
  const double active = aimed ? state.active_at_target.value_or(0) : state.active_at_predicted;
  std::string text = fmt::format("{}: {} of its {}, {}{}% of the water", names_text(page.result, state.items),
                                 share_text(share), state.acid_name, active_text(active), no_break);
  if (aimed && page.style.all)
    text += fmt::format("; {} as it stands", share_text(state.share_at_predicted));
  if (state.share_held > 0.02)
    text += fmt::format(" (oil and micelles hold {} of it)", share_text(state.share_held));
  text += against_figure(page, state, active) + ".";
  if (state.percent_out > 0)
    text += fmt::format(" {}{}% of the formula is more than the water holds: it may grow crystals.",
                        amount_text(state.percent_out), no_break);
  for (const auto& where : state.unknown_losses) text += fmt::format(" What {} holds is not known.", where);
  page.paragraph(text, 2, 4);
}

/// The active amounts over the window, or from pH 4 to 6 where there is none.
void say_curve(Page& page, const PreservativeState& state) {
  const Window& window = page.result.window;
  const double low = window.feasible ? window.low : 4, high = window.feasible ? window.high : 6;
  std::vector<std::string> points;
  const double step = high - low > 2 ? 1 : 0.5;
  for (const auto& point : state.curve)
    if (point.ph >= low - 1e-9 && point.ph <= high + 1e-9 && std::abs(std::remainder(point.ph, step)) < 1e-9)
      points.push_back(fmt::format("pH {} {}{}%", ph_text(point.ph), active_text(point.percent), no_break));
  if (points.size() > 1)
    page.paragraph(fmt::format("{} by pH: {}.", state.acid_name, fmt::join(points, ", ")), 4, 6);
}

void say_together(Page& page) {
  const Preservation& system = page.result.preservation;
  const auto sum = system.combined_at_target ? system.combined_at_target : system.combined_at_predicted;
  if (!sum) return;
  page.paragraph(fmt::format("Together {:.2g} times what the figures ask, if their parts add up; they were found on "
                             "different microbes.", *sum), 2, 4);
}

void say_dosed(Page& page, const DosedPreservative& one) {
  std::string text = fmt::format("{}: {}{}%", item_name(page.result, one.item), amount_text(one.percent), no_break);
  if (one.usual_low)
    text += fmt::format(", {} the usual dose, {:g}{}{}%{}", one.enough() ? "within or above" : "below", *one.usual_low,
                        one.usual_high ? fmt::format(" to {:g}", *one.usual_high) : "", no_break,
                        page.cite(one.source, one.row_id));
  else
    text += "; its usual dose is in no table";
  page.paragraph(text + ".", 2, 4);
}

std::string group_name(std::string_view group) {
  if (group == "gram-positive") return "Gram-positive bacteria";
  if (group == "gram-negative") return "Gram-negative bacteria (Pseudomonas)";
  return group == "yeast" ? "yeasts" : "moulds";
}

void say_spectrum(Page& page) {
  const Preservation& system = page.result.preservation;
  if (!system.spectrum_known) {
    page.paragraph("On which microbes all of it acts is in no table.", 2, 4);
    return;
  }
  std::vector<std::string> gaps;
  for (const auto& coverage : system.spectrum)
    if (coverage.items.empty()) gaps.push_back(group_name(coverage.group));
  if (gaps.empty()) return;
  page.paragraph(fmt::format("{}: nothing in it, at this dose and pH, is known to the tables to act well on {}.",
                             page.look(Look::warning, "Gap"), joined(gaps)), 2, 4);
}

void say_lower_risk(Page& page) {
  for (const auto& risk : page.result.preservation.lower_risk)
    page.paragraph(fmt::format("{}: a lower microbiological risk{}, which is not the same as preserved.", risk.what,
                               page.cite(risk.source, risk.row_id)), 2, 4);
}

}  // namespace

void say_preservation(Page& page) {
  const Preservation& system = page.result.preservation;
  if (!page.result.prediction) return;
  if (system.none()) {
    page.heading("Preservation");
    page.paragraph("No preservative of the tables is in it: what holds water grows microbes unless something else "
                   "keeps them down.", 2, 4);
    say_lower_risk(page);
    return;
  }
  page.heading(system.acids.empty() ? std::string("Preservation")
                                    : "Active preservative (the undissociated acid) " + at_ph(page.result));
  for (const auto& state : system.acids) {
    say_state(page, state);
    if (page.style.all) say_curve(page, state);
  }
  say_together(page);
  for (const auto& one : system.others) say_dosed(page, one);
  say_spectrum(page);
  say_lower_risk(page);
  page.paragraph("Laboratory figures come from broth and are no evidence for this product: only a challenge test "
                 "(ISO 11930) and a qualified assessor decide.", 2, 4);
}

}  // namespace counterion::report
