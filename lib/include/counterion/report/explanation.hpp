// SPDX-License-Identifier: MIT
// Why a batch reads what it reads, for people and for programs.
#pragma once

#include <counterion/answer/explanation.hpp>
#include <counterion/report/text.hpp>

namespace counterion {

/// The explanation on one screen; ends with a newline.
std::string text_report(const Explanation& explanation, const TextStyle& style = {});

/// The explanation as JSON, keys as lib/schemas/explanation.schema.json names them; `indent` spaces
/// a level, -1 for one line.
std::string json_report(const Explanation& explanation, int indent = 2);

}  // namespace counterion
