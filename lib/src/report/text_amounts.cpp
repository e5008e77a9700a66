// SPDX-License-Identifier: MIT
#include "facts.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace counterion::report {
namespace {

/// Below this many columns the table becomes a list.
constexpr std::size_t table_columns = 72;

std::string grams_span(const Adjustment& one) {
  const std::string low = amount_text(one.grams_low);
  return one.grams_high ? low + " to " + amount_text(*one.grams_high) : low + " or more";
}

std::string first_part(const Adjustment& one) {
  return one.stages.empty() ? "by meter" : amount_text(one.stages.front().grams);
}

void say_row(Page& page, const Adjustment& one) {
  const auto* stock = stock_row(one.adjuster.ingredient, page.result.tables);
  const std::string cited = stock && page.style.all ? page.cite(std::string(stock->provenance.source), std::string(stock->provenance.row_id)) : "";
  const std::string name = stock_name(one) + cited;
  if (page.width() < table_columns) {
    page.paragraph(fmt::format("{}: {}{}g ({}), first {}; {}{}% of the batch, pH {} then", name,
                               amount_text(one.grams), no_break, grams_span(one), first_part(one),
                               amount_text(one.percent), no_break, ph_text(one.ph_after)), 2, 4);
    return;
  }
  const std::size_t room = page.width() - 2 - 40;
  const std::size_t wide = columns_of(name);
  if (wide > room) page.paragraph(name, 2, 4);
  page.line(fmt::format("  {}{}{:>8}  {:<14} {:>8} {:>6}", wide > room ? "" : name,
                        std::string(room - (wide > room ? 0 : wide), ' '), amount_text(one.grams),
                        grams_span(one), first_part(one), amount_text(one.percent)));
}

void say_table(Page& page, const std::vector<const Adjustment*>& rows) {
  if (page.width() >= table_columns) {
    const std::size_t room = page.width() - 2 - 40;
    page.line(fmt::format("  {:<{}}{:>8}  {:<14} {:>8} {:>6}", "one of these", room, "g",
                          "nine in ten", "first g", "%"));
  }
  for (const auto* one : rows) say_row(page, *one);
}

/// The word before the colon of each reason, with everybody whom it concerns.
void say_impossible(Page& page) {
  std::map<std::string, std::vector<std::string>> by_reason;
  for (const auto& one : page.result.adjustments)
    if (!one.possible)
      by_reason[page.style.all ? one.why_not : one.why_not.substr(0, one.why_not.find(':'))]
          .push_back(adjuster_name(one));
  std::vector<std::string> words;
  constexpr std::size_t most = 8;
  for (const auto& [why, names] : by_reason)
    words.push_back((names.size() > most && !page.style.all ? fmt::format("{} of them", names.size()) : joined(names)) + " (" + why + ")");
  if (!words.empty()) page.paragraph(fmt::format("Cannot do it: {}.", fmt::join(words, "; ")), 2, 4);
}

/// Each reason once, with everybody for whom it holds.
void say_withheld(Page& page) {
  std::map<std::string, std::vector<const Adjustment*>> by_reason;
  for (const auto& one : page.result.adjustments)
    if (!one.withheld.empty()) by_reason[one.withheld].push_back(&one);
  constexpr std::size_t most = 5;
  for (const auto& [why, them] : by_reason) {
    std::vector<std::string> names;
    for (const auto* one : them) names.push_back(adjuster_name(*one));
    std::string cited;
    for (const auto& caution : them.front()->cautions)
      if (caution.what_happens == why) cited = page.cite(caution.source, caution.row_id);
    page.paragraph(fmt::format("{}: no amount is given. {}{}", names.size() > most && !page.style.all ? fmt::format("All {}", names.size()) : joined(names),
                               why, cited), 2, 4);
  }
}

void say_exceeded(Page& page, const Adjustment& one) {
  for (const auto& limit : one.limits)
    page.paragraph(page.look(Look::bad, fmt::format(
                       "More {} than {}: {} % against {} % ({}).", adjuster_name(one), limit.law ? "allowed" : "advised",
                       amount_text(limit.percent), amount_text(limit.maximum_percent), limit.market)) +
                       page.cite(limit.source, limit.row_id), 2, 4);
}

void say_how(Page& page, const Adjustment& best) {
  std::string text = stock_recipe(best);
  if (!best.stages.empty())
    text += fmt::format("First part of the {}: expect pH {} after it. ", adjuster_name(best),
                       ph_text(best.stages.front().expected_ph));
  text += "Mix, wait, read, then go on by the reading, never by the sum alone.";
  if (best.from_water)
    text += fmt::format(" Hold back {}{}g of the water: the adjuster takes its place, the rest of it "
                        "fills up at the end.",
                        amount_text(best.grams_high.value_or(best.grams)), no_break);
  else
    text += " It comes on top of the batch.";
  page.paragraph(text, 2, 4);
}

bool attacks_metal(std::string_view ingredient, const Tables& tables) {
  return tables.covers("strong-alkali", ingredient) || tables.covers("corrosive-acid", ingredient);
}

void say_handling(Page& page, const std::vector<const Adjustment*>& rows) {
  std::set<std::string> said;
  for (const auto* one : rows)
    for (const auto& caution : one->cautions) {
      if (!said.insert(caution.id).second) continue;
      std::string text = caution.what_happens + " " + caution.what_to_do;
      if (attacks_metal(one->adjuster.ingredient, page.result.tables) && text.find("aluminium") == text.npos)
        text += " No aluminium.";
      page.paragraph(page.look(Look::warning, adjuster_name(*one) + ":") + " " + text +
                         page.cite(caution.source, caution.row_id), 2, 4);
    }
}

/// The adjusters to show: the best first and those with least to say against them; all of them where all is asked for.
std::vector<const Adjustment*> rows_to_show(const Page& page) {
  constexpr std::size_t most = 8;
  const auto* best = page.result.best_adjustment();
  std::vector<const Adjustment*> rows;
  for (const auto& one : page.result.adjustments)
    if (weighable(one)) rows.push_back(&one);
  if (rows.size() <= most || page.style.all) return rows;
  const auto much = [](double percent) { return percent < 5 ? 0 : percent < 15 ? 1 : 2; };
  std::ranges::stable_sort(rows, {}, [&](const Adjustment* one) {
    return std::tuple(one != best, one->limits.size(), much(one->percent), one->cautions.size());
  });
  rows.resize(most);
  return rows;
}

void say_more(Page& page, std::size_t shown) {
  const auto able = static_cast<std::size_t>(std::ranges::count_if(page.result.adjustments, weighable));
  if (able > shown) page.paragraph(fmt::format("{} more can do it: see --all.", able - shown), 2, 4);
}

}  // namespace

std::string stock_recipe(const Adjustment& one) {
  const double percent = one.adjuster.stock_percent;
  if (!(percent < 100)) return {};
  return fmt::format("The stock: {:g}{}g {} in {:g}{}g water. ", percent, no_break, adjuster_name(one),
                     100 - percent, no_break);
}

void say_amounts(Page& page, bool with_how) {
  const CheckResult& result = page.result;
  if (result.adjustments.empty()) return;
  const auto rows = rows_to_show(page);
  page.heading(fmt::format("Amounts for {}{}g, to pH {}", amount_text(result.formula.batch_g), no_break,
                           ph_text(result.adjustments.front().target)));
  if (!rows.empty()) say_table(page, rows);
  say_more(page, rows.size());
  for (const auto* one : rows) say_exceeded(page, *one);
  say_impossible(page);
  say_withheld(page);
  if (const auto* best = with_how ? result.best_adjustment() : nullptr) say_how(page, *best);
  say_handling(page, rows);
}

}  // namespace counterion::report
