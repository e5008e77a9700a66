// SPDX-License-Identifier: MIT
// Readings as they are typed behind --reading.
#pragma once

#include <counterion/batch/calibrate.hpp>

#include <string_view>

namespace counterion::cli {

/// "6.4", "5.1 after 25.7 g citric acid 20 %", "4.3 after 7 days" or both. Throws BadInput and
/// UnknownIngredient.
BatchReading reading_of(std::string_view text, const Tables& tables);

}  // namespace counterion::cli
