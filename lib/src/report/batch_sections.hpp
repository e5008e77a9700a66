// SPDX-License-Identifier: MIT
// The parts of the text that are about keeping a batch.
#pragma once

#include <counterion/answer/batch_answer.hpp>

#include "page.hpp"

namespace counterion::report {

/// Days as people say them: "6 hours", "1 day", "2 weeks", "5 months", "2 years".
std::string time_text(double days);

/// Whether the pH will stay, why not, what would hold it and when to read it.
void say_keeping(Page& page, const BatchAnswer& answer);
/// The same in a few lines.
void say_keeping_shortly(Page& page, const BatchAnswer& answer);

}  // namespace counterion::report
