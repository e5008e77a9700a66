// SPDX-License-Identifier: MIT
// The search for remedies: cheapest changes first, each tried on the whole formula.
#pragma once

#include "remedy_changes.hpp"

namespace counterion::remedy {

/// A formula judged with the options of the question.
Judged judged_anew(const Formula& formula, const Asked& asked, Sureness sureness = Sureness::known);

/// What a product of a remedy comes to; empty where no adjuster brings it to its target.
std::optional<RemedyOutcome> outcome_of(const Formula& formula, const Judged& judged, const Asked& asked);

/// Whether a changed formula has no trouble left and no less against microorganisms than before.
bool passes(const Formula& formula, const Judged& changed, const Judged& before, const Tables& tables);

/// Changes and chains of changes that end every trouble.
std::vector<Remedy> search(const Formula& formula, const Judged& judged, const Asked& asked);

/// The formula in two products, each with what the other cannot bear.
std::vector<Remedy> splits(const Formula& formula, const Judged& judged, const Asked& asked);

}  // namespace counterion::remedy
