// SPDX-License-Identifier: MIT
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace counterion::report {
namespace {

using tables::Severity;

std::vector<std::string> names_of(const CheckResult& result, const std::vector<std::size_t>& items) {
  std::vector<std::string> names;
  for (const std::size_t i : items) names.push_back(item_name(result, i));
  return names;
}

/// Whether the sentence already opens with the one ingredient it is about.
bool mentioned(const CheckResult& result, const FiredCaution& caution) {
  return caution.items.size() == 1 &&
         caution.what_happens.starts_with(item_name(result, caution.items.front()));
}

std::string side_text(const FiredCaution& caution) {
  if (caution.minimum_ph && caution.maximum_ph)
    return fmt::format("pH {}", span_text(caution.minimum_ph, caution.maximum_ph));
  return caution.minimum_ph ? fmt::format("pH {} or more", ph_text(*caution.minimum_ph))
                            : fmt::format("pH {} or less", ph_text(caution.maximum_ph.value_or(14)));
}

/// Where a caution holds that does not simply hold.
std::string holding_text(const FiredCaution& caution) {
  switch (caution.holding) {
    case Holding::until_adjusted: return "until adjusted: ";
    case Holding::possibly: return fmt::format("if it reads {}: ", side_text(caution));
    case Holding::elsewhere: return fmt::format("in the window, but at pH {}: ", span_text(caution.minimum_ph, caution.maximum_ph));
    case Holding::there: break;
  }
  return {};
}

void say_caution(Page& page, const FiredCaution& caution) {
  const bool stop = caution.severity == Severity::stop, note = caution.severity == Severity::note;
  std::string text = mentioned(page.result, caution)
                         ? ""
                         : joined(names_of(page.result, caution.items)) + ": ";
  text += holding_text(caution);
  text += caution.what_happens;
  if (!caution.what_to_do.empty() && (!note || page.style.all)) text += " " + caution.what_to_do;
  page.labelled(stop ? "Stop" : note ? "Note" : "Caution", text + page.cite(caution.source, caution.row_id),
                stop ? Look::bad : note ? Look::faint : Look::warning);
}

void say_cautions(Page& page) {
  std::size_t notes = 0;
  for (const auto& caution : page.result.cautions)
    if (caution.severity == Severity::note && !page.style.all) ++notes;
    else say_caution(page, caution);
  if (notes > 0) page.labelled("Notes", fmt::format("{} to read with --all.", notes), Look::faint);
}

/// Thickeners that stand in more salt than they bear.
void say_thickeners(Page& page) {
  const auto& salts = page.result.electrolyte;
  if (!salts) return;
  for (const auto& state : salts->thickeners) {
    if (!salts->thins(state) && !page.style.all) continue;
    const std::string bears = state.complete ? fmt::format("from {:g} and is thin at {:g}", state.starts, *state.complete)
                                             : fmt::format("from {:g}", state.starts);
    page.labelled(salts->thins(state) ? "Caution" : "Salt",
                  fmt::format("{}: the salt in the water is {} mol per kg; it thins {}.{}", item_name(page.result, state.item),
                              amount_text(salts->load), bears, page.cite(state.source, state.row_id)),
                  salts->thins(state) ? Look::warning : Look::faint);
  }
}

/// Who carries which charge, where both are there.
void say_charges(Page& page) {
  const auto& salts = page.result.electrolyte;
  if (!salts || !salts->opposite_charges_meet() || !page.style.all) return;
  page.labelled("Charge", fmt::format("negative: {}; positive: {}. Opposite charges bind each other.",
                                      joined(names_of(page.result, salts->anionic)),
                                      joined(names_of(page.result, salts->cationic))), Look::faint);
}

/// The latest day on which a source of these limits was seen, or else of the cautions.
std::string seen_on(const CheckResult& result) {
  std::string latest;
  for (const auto& limit : result.limits) latest = std::max(latest, limit.date_seen);
  if (!latest.empty()) return latest;
  for (const auto& caution : result.tables.cautions())
    if (const auto* source = result.tables.source(caution.provenance.source))
      latest = std::max(latest, std::string(source->date_seen));
  return latest;
}

std::string limit_text(const CheckResult& result, const CheckedLimit& limit) {
  std::string text = fmt::format("{}: {} %{}, {} {} % ({}{}{})", joined(names_of(result, limit.items)),
                                 amount_text(limit.percent),
                                 limit.expressed_as.empty() ? "" : " as " + limit.expressed_as,
                                 limit.exceeded ? "over the" : "at most",
                                 amount_text(limit.maximum_percent), limit.market,
                                 limit.product.empty() || limit.product == "any" ? "" : ", " + limit.product,
                                 limit.law ? "" : ", advice and not law");
  return limit.condition.empty() ? text : text + ": " + limit.condition;
}

std::string compared(const CheckResult& result) {
  std::set<std::string> markets;
  for (const auto& limit : result.limits) markets.insert(limit.market);
  const bool one = result.limits.size() == 1;
  const bool all_law = std::all_of(result.limits.begin(), result.limits.end(), [](const auto& l) { return l.law; });
  return fmt::format("{} {}limit{} compared ({}), {} exceeded; last read on {}.",
                     result.limits.size(), all_law ? "legal " : "legal and advised ", one ? "" : "s", fmt::join(markets, ", "),
                     one ? "not" : "none", seen_on(result));
}

void say_limits(Page& page) {
  const auto& limits = page.result.limits;
  bool any_exceeded = false;
  for (const auto& limit : limits) {
    any_exceeded = any_exceeded || limit.exceeded;
    if (limit.exceeded || page.style.all)
      page.labelled(limit.exceeded ? "Over" : "Limit",
                    limit_text(page.result, limit) + page.cite(limit.source, limit.row_id),
                    limit.exceeded ? Look::bad : Look::faint);
  }
  if (limits.empty()) page.labelled("Limits", "the tables hold no legal limit for what is in it.");
  else if (!any_exceeded) page.labelled("Limits", compared(page.result));
}

std::string tables_name(const CheckResult& result) {
  const std::string seen = seen_on(result);
  return fmt::format("tables {}{}", result.tables.version(), seen.empty() ? "" : " of " + seen);
}

}  // namespace

std::string verdict(const CheckResult& result) {
  std::vector<std::string> reasons;
  if (result.prediction && !result.window.feasible) reasons.push_back("its ingredients share no pH (see Conflict)");
  for (const auto& limit : result.limits)
    if (limit.exceeded && limit.law)
      reasons.push_back(joined(names_of(result, limit.items)) + " over the limit of " + limit.market);
  for (const auto& caution : result.cautions)
    if (caution.severity == Severity::stop) reasons.push_back(caution.what_happens);
  if (reasons.empty()) return "No stop found in " + tables_name(result) + ".";
  return fmt::format("{}", fmt::join(reasons, "; "));
}

void say_warnings(Page& page) {
  const CheckResult& result = page.result;
  page.heading("Watch out");
  say_cautions(page);
  say_thickeners(page);
  say_charges(page);
  say_limits(page);
  for (const auto& silent : result.not_judged)
    page.labelled("Unjudged", printable(silent.what) + ": " + silent.why + ".");
  page.paragraph((result.stop() ? std::string() : verdict(result) + " ") +
                 "Not a safety or legal assessment: a qualified safety assessor, the law where you sell "
                 "and a challenge test decide.", 2, 2);
}

}  // namespace counterion::report
