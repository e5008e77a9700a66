// SPDX-License-Identifier: MIT
// Rows of a composition with a pH that somebody published or measured, against what is predicted.
#pragma once

#include "../table_rows.hpp"

#include <counterion/batch/prediction.hpp>

namespace measured {

/// The formula of a row: ids and percents, what is missing to 100 is water. A name after the word
/// "unlisted" is a material of no table.
counterion::Formula formula_of(const test::Row& row);

/// What is predicted for a row, at its temperature.
counterion::Prediction predicted(const test::Row& row);

/// Distance of a pH from a row's span; negative below it, 0 inside.
double distance(const test::Row& row, double ph);

/// Whether the 90 % interval reaches the row's span.
bool touches(const test::Row& row, const counterion::Prediction& prediction);

/// One line of a table: name, pH and interval, the row's span.
std::string line(const std::string& name, const test::Row& row, const counterion::Prediction& prediction);

double median(std::vector<double> values);

/// Writes a table to the screen when COUNTERION_PRINT is set.
void print(const std::vector<std::string>& lines);

}  // namespace measured
