// SPDX-License-Identifier: MIT
// Whether a batch will stay, as text of JSON.
#pragma once

#include <counterion/answer/batch_answer.hpp>

#include <string>

namespace counterion::report {

/// The member `drift`; null without a water phase.
std::string json_of_keeping(const BatchAnswer& answer);

/// The member `series`: later readings against the forecast.
std::string json_of_series(const BatchAnswer& answer);

}  // namespace counterion::report
