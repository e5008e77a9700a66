// SPDX-License-Identifier: MIT
// The parts of the text, in the order in which people need them.
#pragma once

#include "page.hpp"

namespace counterion::report {

/// What pH it has, what it needs, what to do: three lines.
void say_answer(Page& page);
/// The ranges on a pH ruler, and what sets each edge; where they do not meet, which pairs and why.
void say_window(Page& page);
/// Where the pH comes from, what widens its interval, and, where nothing else says so, what would narrow it.
void say_prediction(Page& page, bool with_measurement = true);
/// What to weigh, what cannot do it, and how to handle it; how to go about it, where nothing else says so.
void say_amounts(Page& page, bool with_how = true);
/// How to make an adjuster's stock; empty where it is used as supplied.
std::string stock_recipe(const Adjustment& one);
/// Changes that would mend what says stop, each judged again.
void say_remedies(Page& page);
/// What there is against microorganisms, and what is missing.
void say_preservation(Page& page);
/// Stops, cautions and notes; legal limits; what was not judged; the standing words.
void say_warnings(Page& page);
/// The numbered rows with their sources.
void say_sources(Page& page);

/// Whether the whole interval of the prediction lies inside the window.
bool settled_inside(const CheckResult& result);
/// "no stop found in tables dated …" or what stops it.
std::string verdict(const CheckResult& result);

}  // namespace counterion::report
