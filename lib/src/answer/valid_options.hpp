// SPDX-License-Identifier: MIT
// Options that mean something, before anything is computed with them.
#pragma once

#include <counterion/answer/check.hpp>

namespace counterion {

/// Throws BadInput with every option that means nothing, with the valid words or range.
void require_valid(const CheckOptions& options);

}  // namespace counterion
