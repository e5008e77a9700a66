// SPDX-License-Identifier: MIT
// What the header cells of a log mean, in the usual words of several languages.
#pragma once

#include "columns.hpp"

namespace counterion::formula {

/// What a header cell of a log means; Role::total, time, temperature, volume and unclear besides
/// those of formulas.
HeaderCell read_log_header_cell(std::string_view text);

/// Whether a cell says that nothing was added: empty, "-", "none", "start", "Beginn".
bool is_no_addition(std::string_view text);

/// The English word for a key of a `# key: value` line, "sample" for "Probe"; others in lower case.
std::string log_key(std::string_view key);

}  // namespace counterion::formula
