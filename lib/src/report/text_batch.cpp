// SPDX-License-Identifier: MIT
#include <counterion/report/batch.hpp>

#include "batch_sections.hpp"
#include "facts.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace report {
namespace {

/// What the readings said, and what they taught.
void say_learned(Page& page, const BatchAnswer& answer) {
  const Calibration& learned = answer.learned;
  if (learned.readings.empty()) return;
  page.heading("What the readings say");
  for (const auto& reading : learned.readings)
    page.paragraph(
        fmt::format("Read {}, expected {} ({} to {} nine times in ten){}.", ph_text(reading.ph),
                    ph_text(reading.expected), ph_text(reading.low), ph_text(reading.high),
                    std::abs(reading.surprise) > most_surprise
                        ? page.look(Look::bad, ": hardly possible")
                        : ""),
        2, 4);
  if (page.result.options.knowledge.empty()) return;  // not learned from
  const auto& charge = learned.unexplained_meq_per_kg;
  page.paragraph(
      fmt::format("Beside what the tables say it holds {} meq per kg of {} ({} to {}; "
                  "milliequivalents: thousandths of a mole of "
                  "charge).",
                  amount_text(std::abs(charge.value)), charge.value < 0 ? "acid" : "alkali",
                  fmt::format("{:.3g}", charge.low), fmt::format("{:.3g}", charge.high)),
      2, 4);
  const auto& buffer = learned.extra_buffer_mmol_per_kg;
  if (buffer.low > 0 || buffer.high < 0)
    page.paragraph(fmt::format("It holds its pH {} firmly than they say: by {:.2g} mmol per pH "
                               "unit and kg ({:.2g} to {:.2g}).",
                               buffer.value > 0 ? "more" : "less", std::abs(buffer.value),
                               std::abs(buffer.value > 0 ? buffer.low : buffer.high),
                               std::abs(buffer.value > 0 ? buffer.high : buffer.low)),
                   2, 4);
}

void say_slips(Page& page, const BatchAnswer& answer) {
  if (!answer.learned.beyond_tables || answer.learned.slips.empty()) return;
  std::vector<std::string> words;
  for (const auto& slip : answer.learned.slips)
    if (words.size() < 4)
      words.push_back(fmt::format("{} {} (pH {:.1f})", item_name(page.result, slip.item),
                                  slip.doubled ? "doubled" : "left out", slip.ph));
  page.paragraph(page.look(Look::warning, "It would read so with " + joined(words) + "."), 2, 4);
}

void say_distribution(Page& page, const BatchAnswer& answer) {
  if (!answer.sampled) return;
  const auto& sampled = *answer.sampled;
  page.heading(
      fmt::format("How sure that is: {} draws of everything that is not", sampled.draws.size()));
  page.paragraph(fmt::format("Of 100 such batches 5 lie below pH {}, 25 below {}, 50 below {}, 75 "
                             "below {}, 95 below {}.",
                             ph_text(sampled.quantile(0.05)), ph_text(sampled.quantile(0.25)),
                             ph_text(sampled.quantile(0.5)), ph_text(sampled.quantile(0.75)),
                             ph_text(sampled.quantile(0.95))),
                 2, 4);
  if (page.result.window.feasible)
    page.paragraph(
        fmt::format("{:.0f} of 100 lie in the window, pH {} to {}.", 100 * answer.chance_in_window,
                    ph_text(page.result.window.low), ph_text(page.result.window.high)),
        2, 4);
}

void say_measurements(Page& page, const BatchAnswer& answer) {
  if (answer.measurements.empty()) return;
  page.heading("What would make it surer");
  const std::size_t most = page.style.all ? answer.measurements.size() : 3;
  for (std::size_t i = 0; i < std::min(most, answer.measurements.size()); ++i) {
    const auto& one = answer.measurements[i];
    page.paragraph(
        fmt::format("{}: {} Leaves about {:.2f} pH units of {:.2f}.",
                    one.item ? unbroken(one.what) : "The batch itself", one.how, one.p95 - one.p05,
                    page.result.prediction->p95 - page.result.prediction->p05),
        2, 4);
  }
}

/// Grams to the scale's last digit.
std::string weigh(double grams) {
  return fmt::format("{:.{}f}{}g", grams, grams < 0.1 ? 3 : grams < 100 ? 2 : 1, no_break);
}

void say_additions(Page& page, const Plan& plan, const Adjustment& one) {
  for (std::size_t i = 0; i < plan.additions.size(); ++i) {
    const auto& step = plan.additions[i];
    page.paragraph(fmt::format("{}. {} {} of {}; expect pH {} ({} to {} nine times in ten).", i + 1,
                               i == 0 ? "Weigh" : "Then about", weigh(step.grams),
                               i == 0 ? stock_name(one) : "it", ph_text(step.expected_ph),
                               ph_text(step.ph_low), ph_text(step.ph_high)),
                   2, 5);
  }
}

void say_scale(Page& page, const Adjustment& one) {
  const auto& scale = one.weighable;
  if (!scale.too_coarse) return;
  std::string text = fmt::format(
      "Your scale is coarse for this: one step of it moves the pH by {:.2f}.", scale.step_ph);
  text += scale.dilute_to_percent
              ? fmt::format(" Make a stock of {:g}{}% instead.", *scale.dilute_to_percent, no_break)
              : " No stock is weak enough: make a larger batch, or leave it as it is.";
  page.paragraph(page.look(Look::warning, text), 2, 4);
}

/// What the salt does to thickeners.
void say_salt(Page& page, const Adjustment& one) {
  for (const auto& state : one.electrolyte_after.thickeners)
    if (one.electrolyte_after.thins(state))
      page.paragraph(
          page.look(Look::warning,
                    fmt::format("The salt then in it ({:.2g} mol per kg) thins {}.",
                                one.ionic_strength_after, item_name(page.result, state.item))) +
              page.cite(state.source, state.row_id),
          2, 4);
}

void say_undo(Page& page, const BatchAnswer& answer) {
  if (!answer.undo) return;
  const Undo& undo = *answer.undo;
  std::string text = fmt::format("Were it to go to pH {}: ", ph_text(undo.ph));
  text +=
      undo.grams
          ? fmt::format("{}{}g of {} ({:g}{}%) bring it back and leave about {:.2g}{}% of salt. ",
                        amount_text(*undo.grams), no_break, undo.name, undo.adjuster.stock_percent,
                        no_break, undo.salt_percent, no_break)
          : "";
  text += undo.remake ? fmt::format("Better made anew: {}.", undo.why)
                      : fmt::format("No need to remake it: {}.", undo.why);
  page.paragraph(text, 2, 4);
}

/// Below this (mol per kg of water and pH) a batch hardly holds its pH.
constexpr double weak_hold = 0.005;

/// How often the first addition goes too far, as far as that can be promised.
std::string risk_text(const Page& page) {
  if (page.result.prediction->buffer_capacity < weak_hold)
    return "This batch hardly holds its pH, and any addition may take it too far: go on in small "
           "parts with a weak stock, and read after each.";
  return "The first addition is small enough to go too far only once in 140 times; those after it "
         "are worked out anew from each reading.";
}

void say_plan(Page& page, const BatchAnswer& answer) {
  if (!answer.plan || !answer.chosen) return;
  const Plan& plan = *answer.plan;
  const Adjustment& one = page.result.adjustments[*answer.chosen];
  page.heading(fmt::format("Plan for {}{}g, to pH {} within {:g}",
                           amount_text(page.result.formula.batch_g), no_break, ph_text(plan.target),
                           plan.tolerance));
  if (plan.done)
    page.paragraph(
        fmt::format("Leave it alone: {:.0f} in 100 that it lies within {:g} of the target.",
                    100 * plan.chance_inside, plan.tolerance),
        2, 4);
  else if (plan.too_fine)
    page.paragraph("The next addition is less than one step of your scale.", 2, 4);
  if (answer.learned.readings.empty() && !plan.additions.empty())
    page.paragraph(
        "Read it before anything is added, and ask with the reading: the plan gets surer and often "
        "shorter.",
        2, 4);
  say_additions(page, plan, one);
  if (!plan.additions.empty()) page.paragraph(stock_recipe(one) + risk_text(page), 2, 4);
  say_scale(page, one);
  say_salt(page, one);
  say_undo(page, answer);
}

void say_work(Page& page, const BatchAnswer& answer) {
  if (answer.work.empty()) return;
  page.heading("Order of work");
  for (std::size_t i = 0; i < answer.work.size(); ++i) {
    const auto& step = answer.work[i];
    const std::string cited = step.row_id.empty() ? "" : page.cite(step.source, step.row_id);
    page.paragraph(fmt::format("{}. {}{}{}", i + 1, step.what,
                               step.why.empty() ? "" : fmt::format(" ({})", step.why), cited),
                   2, 5);
  }
}

std::string partner_text(const BufferPartner& partner) {
  return fmt::format("{}{}g of {}", amount_text(partner.grams), no_break, partner.name);
}

void say_buffers(Page& page, const BatchAnswer& answer) {
  if (!answer.buffers) return;
  const Buffers& buffers = *answer.buffers;
  page.heading("Buffers that would hold it");
  if (buffers.holds_already || buffers.holds_once_there)
    page.paragraph(buffers.holds_already
                       ? "It holds it by itself."
                       : "Once at that pH it holds it by itself: it needs an adjuster, no buffer.",
                   2, 4);
  std::size_t shown = 0;
  for (const auto& pair : buffers.pairs) {
    if (!pair.possible || (shown == 4 && !page.style.all)) continue;
    ++shown;
    std::vector<std::string> partners;
    for (const auto* partner : {&pair.acid, &pair.base})
      if (partner->grams > 0) partners.push_back(partner_text(*partner));
    page.paragraph(
        fmt::format("{}: {}{}; {:.2g}{}% dry, salt {:.2g} mol per kg.", pair.system,
                    joined(partners), pair.clashes > 0 ? " (brings cautions or limits)" : "",
                    pair.percent_dry, no_break, pair.ionic_strength),
        2, 4);
  }
  if (shown == 0 && !buffers.pairs.empty())
    page.paragraph("None can: " + buffers.pairs.front().why_not + ".", 2, 4);
}

void say_stops(Page& page) {
  for (const auto& caution : page.result.cautions)
    if (caution.severity == tables::Severity::stop)
      page.paragraph(page.look(Look::bad, "Stop: " + caution.what_happens) + " " +
                         caution.what_to_do + page.cite(caution.source, caution.row_id),
                     2, 4);
}

}  // namespace
}  // namespace report

std::string foreseen_report(const BatchAnswer& answer, const TextStyle& style) {
  report::Page page(answer.check, style);
  report::say_answer(page);
  report::say_learned(page, answer);
  report::say_slips(page, answer);
  report::say_distribution(page, answer);
  report::say_prediction(page, false);
  report::say_keeping(page, answer);
  report::say_measurements(page, answer);
  report::say_buffers(page, answer);
  report::say_sources(page);
  return std::move(page).finish();
}

std::string dosing_report(const BatchAnswer& answer, const TextStyle& style,
                          const std::string& again) {
  report::Page page(answer.check, style);
  report::say_answer(page);
  report::say_stops(page);
  report::say_learned(page, answer);
  report::say_slips(page, answer);
  report::say_plan(page, answer);
  report::say_amounts(page, false);
  report::say_keeping_shortly(page, answer);
  report::say_buffers(page, answer);
  report::say_work(page, answer);
  if (!again.empty()) page.heading("Next, with what you read"), page.paragraph(again, 2, 4);
  report::say_sources(page);
  return std::move(page).finish();
}

}  // namespace counterion
