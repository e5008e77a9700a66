// SPDX-License-Identifier: MIT
// Strengths of materials, as their ids and compositions state them.
#pragma once

#include <counterion/tables/rows.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::tables {

using Composition = std::vector<Component>;

/// Mass fraction of the water that a material brings.
double water_fraction(const Composition& composition, std::string_view ingredient);

/// The number at the end of an id, 80 of lactic-acid-80 and 20 of polysorbate-20.
std::optional<double> number_of_id(std::string_view id);

/// The strength that an id itself states, 80 of lactic-acid-80, unlike polysorbate-20.
std::optional<double> stated_strength(const Composition& composition, std::string_view id);

/// Whether an id states that the material is a dilution of what its INCI name says.
bool is_dilution(const Composition& composition, std::string_view id);

/// The decimal numbers that a text holds, "2.5" of "ammonia 2,5 %".
std::vector<double> decimals_in(std::string_view text);

}  // namespace counterion::tables
