// SPDX-License-Identifier: MIT
#include "facts.hpp"
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace counterion::report {
namespace {

constexpr std::size_t most_shown = 4;

std::string percent_text(double percent) { return fmt::format("{:.3g}{}%", percent, no_break); }

std::string present(const Change& change) {
  std::vector<std::string> names;
  for (const auto& name : change.names) names.push_back(unbroken(name));
  return joined(names);
}

std::string change_text(const Change& change) {
  const std::string now = percent_text(change.percent_before) + " " + present(change);
  switch (change.kind) {
    case ChangeKind::lower_level:
      return fmt::format("less {}: {} instead of {}", present(change), percent_text(change.percent_after),
                         percent_text(change.percent_before));
    case ChangeKind::more_preservative:
      return fmt::format("more {}: {} instead of {}", present(change), percent_text(change.percent_after),
                         percent_text(change.percent_before));
    case ChangeKind::leave_out: return "without " + present(change);
    case ChangeKind::two_products: return "one without " + present(change);
    default: break;
  }
  return fmt::format("{} {} instead of {}", percent_text(change.percent_after), unbroken(change.name), now);
}

std::string outcome_text(const RemedyOutcome& outcome) {
  if (!outcome.ph) return "no water phase";
  std::string text = fmt::format("pH {} to {} suits it, about {} by itself", ph_text(outcome.low), ph_text(outcome.high),
                                 fmt::format("{:.1f}", *outcome.ph));
  if (outcome.adjustment_needed)
    text += fmt::format(", {} brings it to {}", unbroken(outcome.adjuster), ph_text(*outcome.target));
  return text;
}

std::string remedy_text(const Remedy& remedy) {
  std::vector<std::string> changes, outcomes;
  for (const auto& change : remedy.changes) changes.push_back(change_text(change));
  for (const auto& outcome : remedy.products) outcomes.push_back(outcome_text(outcome));
  const bool split = remedy.products.size() > 1;
  return fmt::format("{}{}: {}.", split ? "two products, " : "", joined(changes), fmt::join(outcomes, "; "));
}

}  // namespace

void say_remedies(Page& page) {
  const CheckResult& result = page.result;
  if (result.remedies.empty()) {
    if (result.stop() && result.options.remedies)
      page.paragraph("No single change of the tables' materials mends it without another trouble.", 2, 4);
    return;
  }
  page.heading("What would mend it");
  const std::size_t most = page.style.all ? result.remedies.size() : std::min(most_shown, result.remedies.size());
  for (std::size_t r = 0; r < most; ++r)
    page.paragraph(fmt::format("{}. {}", r + 1, remedy_text(result.remedies[r])), 2, 5);
  if (most < result.remedies.size())
    page.paragraph(fmt::format("{} more: --all", result.remedies.size() - most), 2, 4);
  page.paragraph(std::string(remedy_caveat), 2, 4);
}

}  // namespace counterion::report
