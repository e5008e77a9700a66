// SPDX-License-Identifier: MIT
// The answer while a batch is made, for people and for programs.
#pragma once

#include <counterion/answer/batch_answer.hpp>
#include <counterion/report/text.hpp>

namespace counterion {

/// What the batch's pH is, how sure, and which measurement would help; ends with a newline.
std::string foreseen_report(const BatchAnswer& answer, const TextStyle& style = {});

/// What to weigh in which steps; ends with a newline. `again` is the command that asks again with
/// the next reading.
std::string dosing_report(const BatchAnswer& answer, const TextStyle& style = {},
                          const std::string& again = {});

/// Either as JSON: the members of `check` and beside them `learned`, `distribution`,
/// `measurements`, `plan` and others; `indent` spaces a level, -1 for one line.
std::string json_report(const BatchAnswer& answer, int indent = 2);

}  // namespace counterion
