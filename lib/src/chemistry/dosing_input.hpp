// SPDX-License-Identifier: MIT
// What doses and titration curves ask of their input; both throw BadInput.
#pragma once

#include <counterion/chemistry/solution.hpp>

namespace counterion {

/// Refuses, all at once, what is a pH at which a solution is all ions.
void require_targets(std::span<const pH> targets);

/// The additive as the solver takes it; where it takes the place of water, `most` shrinks to what is there.
chemistry::Addition addition_of(const Additive& additive, const Conditions& conditions, double& most);

}  // namespace counterion
