// SPDX-License-Identifier: MIT
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

/// Below this (mol per kg water and pH) traces and air move the pH; above the second it stays put.
constexpr double weak_hold = 0.005, firm_hold = 0.03;

struct Contribution {
  std::size_t item;
  double meq_per_kg;
};

/// What pulls to one side, strongest first; what is under a twentieth of the strongest is left out.
std::vector<Contribution> pulling(const Prediction& prediction, int side) {
  std::vector<Contribution> found;
  double most = 0;
  for (const double charge : prediction.charge_meq_per_kg) most = std::max(most, std::abs(charge));
  for (std::size_t i = 0; i < prediction.charge_meq_per_kg.size(); ++i)
    if (side * prediction.charge_meq_per_kg[i] > most / 20)
      found.push_back({i, std::abs(prediction.charge_meq_per_kg[i])});
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.meq_per_kg > b.meq_per_kg; });
  return found;
}

std::string pull_text(const CheckResult& result, int side, std::size_t most) {
  std::vector<std::string> words;
  for (const auto& one : pulling(*result.prediction, side)) {
    if (words.size() == most) break;
    words.push_back(fmt::format("{} ({})", item_name(result, one.item), amount_text(one.meq_per_kg)));
  }
  return joined(words);
}

void say_pulls(Page& page) {
  const std::size_t most = page.style.all ? 100 : 4;
  const std::string acid = pull_text(page.result, -1, most), alkali = pull_text(page.result, 1, most);
  if (acid.empty() && alkali.empty()) return;
  std::string text = acid.empty() ? "" : "More acid by " + acid;
  if (!alkali.empty()) text += (text.empty() ? "Less acid by " : "; less acid by ") + alkali;
  page.paragraph(text + ". (Acid or alkali in milliequivalents per kg.)", 2, 4);
}

std::string_view hold_word(double capacity) {
  if (capacity < weak_hold) return "hardly held: traces and air move it";
  return capacity < firm_hold ? "held a little" : "held firmly";
}

void say_hold(Page& page) {
  const Prediction& p = *page.result.prediction;
  if (!page.style.all && p.activity_within_range && p.buffer_capacity >= weak_hold) return;
  std::string text = fmt::format(
      "It is {} (buffer capacity {} mol per kg water and pH); dissolved salts (ionic strength) {} mol "
      "per kg.",
      hold_word(p.buffer_capacity), amount_text(p.buffer_capacity), amount_text(p.ionic_strength));
  if (!p.activity_within_range) text += " Take the pH with care: " + p.validity + ".";
  page.paragraph(text, 2, 4);
}

void say_drivers(Page& page) {
  const Prediction& p = *page.result.prediction;
  std::vector<std::string> words;
  for (const auto& driver : p.drivers) {
    if (words.size() == (page.style.all ? p.drivers.size() : 1)) break;
    words.push_back(fmt::format("{} (by itself {} to {}){}", driver_text(page.result, driver),
                                ph_text(driver.ph_low, p), ph_text(driver.ph_high, p),
                                page.cite(driver.source, driver.row_id)));
  }
  if (!words.empty())
    page.paragraph(fmt::format("What is least sure: {}.", fmt::join(words, "; ")), 2, 4);
}

/// What the water cannot hold, and how far a carbomer is neutralised.
void say_saturated(Page& page) {
  for (const auto& one : page.result.prediction->saturated)
    page.paragraph(fmt::format("Beyond what the water dissolves: about {}{}% of the formula as {}; it can fall out "
                               "as crystals or drops (alcohol and glycol hold some of it).",
                               amount_text(one.percent_out), no_break, one.name), 2, 4);
}
void say_polymers(Page& page) {
  for (const auto& polymer : page.result.polymers) {
    const bool aimed = polymer.at_target && page.result.adjustment_needed;
    page.paragraph(fmt::format("Of the acid groups of {} {:.0f}{}% are neutralised{}.", polymer.name,
                               100 * polymer.at_predicted, no_break,
                               aimed ? fmt::format(", {:.0f}{}% at pH {}", 100 * *polymer.at_target, no_break,
                                                   ph_text(*page.result.target))
                                     : std::string()),
                   2, 4);
  }
}

/// The cheapest measurement that narrows a wide interval.
void say_remedy(Page& page) {
  const Prediction& p = *page.result.prediction;
  if (!(p.p95 - p.p05 > 1)) return;
  const auto material = std::find_if(p.drivers.begin(), p.drivers.end(),
                                     [](const auto& driver) { return driver.item.has_value(); });
  const bool unread = material != p.drivers.end() && !material->source.empty();
  std::string text = "To be surer: make it without adjuster and read it";
  if (unread)
    text += fmt::format(", or read the pH of {} at 10 % in water and write your reading on its line, in a "
                        "column \"declared pH\", in the form \"7.1-7.3 @ 10 %\"",
                        item_name(page.result, *material->item));
  page.paragraph(text + ".", 2, 4);
}

}  // namespace

void say_prediction(Page& page, bool with_measurement) {
  if (!page.result.prediction) return;
  page.heading("Where the pH comes from");
  say_pulls(page);
  say_drivers(page);
  if (with_measurement) say_remedy(page);
  say_saturated(page);
  say_polymers(page);
  say_hold(page);
}

}  // namespace counterion::report
