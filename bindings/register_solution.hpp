// SPDX-License-Identifier: MIT
// What a solution is asked with: the amounts and the activity model, as Python writes them.
#pragma once

#include "binding.hpp"

#include <counterion/chemistry/solution.hpp>

#include <tuple>
#include <utility>
#include <variant>

namespace counterion::bindings {

using What = std::variant<StrongIon, Protolyte, AcidPolymer>;  // Protolyte has no default to begin with
using Amounts = std::vector<std::variant<std::pair<What, double>, std::tuple<What, double, NeutralForm>>>;

std::vector<Amount> amounts_from(const Amounts& listed);

/// Throws BadInput with the list when there is no such model.
Activity activity_from(const std::string& name);

/// Doses and titration curves.
void register_dose(py::module_& module);

}  // namespace counterion::bindings
