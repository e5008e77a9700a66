// SPDX-License-Identifier: MIT
// A formula from whatever Python has: a path, a mapping, a sequence, or a formula.
#pragma once

#include "binding.hpp"

#include <counterion/formula/formula.hpp>

namespace counterion::bindings {

/// No tables means the built-in ones. Throws BadInput with every fault; TypeError for other sources.
Formula formula_from(const py::object& source, const Tables* tables, bool allow_unlisted);

}  // namespace counterion::bindings
