// SPDX-License-Identifier: MIT
#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

namespace counterion::report {
namespace {

std::string at_ph(const CheckResult& result) {
  return result.target ? fmt::format("at pH {}", ph_text(*result.target))
                       : fmt::format("at the predicted pH {}",
                                     ph_text(result.prediction->ph, *result.prediction));
}

void say_state(Page& page, const PreservativeState& state) {
  const bool aimed = state.share_at_target.has_value();
  const double share = aimed ? *state.share_at_target : state.share_at_predicted;
  const double active = aimed ? state.active_at_target.value_or(0) : state.active_at_predicted;
  std::string text = fmt::format("{}: {} of its {}, {}{}% of the water",
                                 item_name(page.result, state.item), share_text(share),
                                 state.acid_name, active < 0.001 ? "under 0.001" : amount_text(active),
                                 no_break);
  if (aimed && page.style.all)
    text += fmt::format("; {} as it stands", share_text(state.share_at_predicted));
  if (state.share_held > 0.02)
    text += fmt::format(" (oil and micelles hold {} of it)", share_text(state.share_held));
  if (state.least_active)
    text += fmt::format("; a laboratory needed {:g}{}%{}", *state.least_active, no_break,
                        active < *state.least_active ? ": too little here" : "") +
            page.cite(state.source, state.row_id);
  page.paragraph(text + ".", 2, 4);
}

}  // namespace

void say_preservation(Page& page) {
  if (page.result.preservation.empty()) return;
  page.heading("Active preservative (the undissociated acid) " + at_ph(page.result));
  for (const auto& state : page.result.preservation) say_state(page, state);
  page.paragraph("Only a challenge test shows that a product is preserved.", 2, 4);
}

}  // namespace counterion::report
