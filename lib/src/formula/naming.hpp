// SPDX-License-Identifier: MIT
// What a name on a line may mean.
#pragma once

#include <counterion/tables/tables.hpp>

#include <optional>
#include <string>
#include <vector>

namespace counterion::formula {

using Meant = std::vector<const tables::Ingredient*>;

/// The grades of a name that have this strength (percent); empty where no table has any.
Meant grades_of(const Tables& tables, const std::string& name, double strength);

/// What a name may mean; a strength on its line decides where there is a grade of that strength.
Meant meanings_of(const Tables& tables, const std::string& name, std::optional<double> strength);

}  // namespace counterion::formula
