// SPDX-License-Identifier: MIT
#include "facts.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace counterion::report {
namespace {

std::string kind_of_product(const Formula& formula) {
  std::vector<std::string> words;
  for (const auto& word : {formula.product_type, formula.use})
    if (!word.empty()) words.push_back(word);
  return words.empty() ? "kind of product not stated" : fmt::format("{}", fmt::join(words, ", "));
}

std::string name_of_formula(const Formula& formula) {
  if (!formula.name.empty()) return printable(formula.name);
  const bool placed = !formula.items.empty() && !formula.items.front().place.file.empty();
  return placed ? printable(formula.items.front().place.file) : "Formula";
}

std::string title(const Formula& formula) {
  return fmt::format("{} ({}{}g{}, {})", name_of_formula(formula),
                     amount_text(formula.batch_g), no_break,
                     formula.batch_stated ? "" : " assumed", kind_of_product(formula));
}

std::string prediction_line(const CheckResult& result) {
  if (!result.prediction) return "none to speak of: " + result.no_prediction;
  const Prediction& p = *result.prediction;
  return fmt::format("about {} {}, nine times in ten {} to {} (90 % interval)", ph_text(p.ph, p),
                     result.options.knowledge.empty() ? "by itself" : "as it stands", ph_text(p.p05, p), ph_text(p.p95, p));
}

std::string aim(const CheckResult& result) {
  if (!result.target) return {};
  const bool outside = result.window.feasible && (*result.target < result.window.low ||
                                                  *result.target > result.window.high);
  return fmt::format("; aim for {}{}{}", ph_text(*result.target),
                     result.options.target ? " as you asked" : "", outside ? ", outside of it" : "");
}

std::string window_line(const CheckResult& result) {
  const Window& window = result.window;
  if (!result.prediction) return "no pH: what has no water phase has none";
  if (!window.feasible) return "no pH suits everything in it" + aim(result);
  return fmt::format("pH {} to {} suits everything in it{}", ph_text(window.low),
                     ph_text(window.high), aim(result));
}

std::string weigh_line(const CheckResult& result, const Adjustment& adjustment) {
  std::string text = fmt::format("weigh {}{}g of {}", amount_text(adjustment.grams), no_break,
                                 stock_name(adjustment));
  if (!adjustment.stages.empty())
    text += fmt::format("; {}{}g of it first, then go on by the meter",
                        amount_text(adjustment.stages.front().grams), no_break);
  else
    text += ", in small parts by the meter: it may need none";
  if (settled_inside(result)) text += ". It would also do as it is";
  return text + ".";
}

std::string no_amount_line(const CheckResult& result) {
  for (const auto& adjustment : result.adjustments)
    if (!adjustment.withheld.empty()) return "nothing to weigh: " + adjustment.withheld;
  return result.adjustments.empty() ? "nothing to weigh: no adjuster was asked for."
                                    : "none of these adjusters reaches it; see Amounts.";
}

std::string leave_line(const CheckResult& result) {
  if (!settled_inside(result))
    return "add nothing yet: make it, read it, and adjust only by the reading.";
  return "leave it alone; read it to be sure.";
}

std::string action_line(const CheckResult& result) {
  if (!result.prediction) return "nothing to adjust: there is no pH to steer.";
  if (!result.target)
    return result.remedies.empty() ? "change the formula first; without a window there is nothing to weigh."
                                   : "change the formula first (see What would mend it).";
  if (!result.adjustment_needed) return leave_line(result);
  if (const auto* best = result.best_adjustment()) return weigh_line(result, *best);
  return no_amount_line(result);
}

}  // namespace

bool settled_inside(const CheckResult& result) {
  const Window& window = result.window;
  return result.prediction && window.feasible && !result.options.target &&
         window.low <= result.prediction->p05 && result.prediction->p95 <= window.high;
}

void say_answer(Page& page) {
  const CheckResult& result = page.result;
  page.paragraph(page.look(Look::strong, title(result.formula)), 0, 2);
  page.labelled("pH", prediction_line(result));
  const bool troubled = result.prediction && !result.window.feasible;
  page.labelled("Needs", window_line(result), troubled ? Look::bad : Look::strong);
  page.labelled("Do", action_line(result));
  if (result.stop()) page.labelled("Stop", verdict(result), Look::bad);
}

}  // namespace counterion::report
