// SPDX-License-Identifier: MIT
// The answer for programs; its JSON Schema is lib/schemas/check.schema.json.
#pragma once

#include <counterion/answer/check.hpp>

namespace counterion {

/// The answer as JSON, keys as the schema names them; `indent` spaces a level, -1 for one line.
std::string json_report(const CheckResult& result, int indent = 2);

}  // namespace counterion
