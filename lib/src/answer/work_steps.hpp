// SPDX-License-Identifier: MIT
// The order of work around adjusting a batch.
#pragma once

#include <counterion/answer/batch_answer.hpp>

namespace counterion {

/// What to do before, while and after adjusting this batch, in its order.
std::vector<WorkStep> work_steps(const BatchAnswer& answer, const Tables& tables);

}  // namespace counterion
