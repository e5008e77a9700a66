// SPDX-License-Identifier: MIT
#include <counterion/report/text.hpp>

#include "sections.hpp"

namespace counterion {

std::string text_report(const CheckResult& result, const TextStyle& style) {
  report::Page page(result, style);
  report::say_answer(page);
  report::say_window(page);
  report::say_remedies(page);
  report::say_prediction(page);
  report::say_amounts(page);
  report::say_preservation(page);
  report::say_warnings(page);
  report::say_sources(page);
  return std::move(page).finish();
}

}  // namespace counterion
