// SPDX-License-Identifier: MIT
// What the terminal at the other end can show.
#pragma once

namespace counterion::cli {

/// Whether standard output is a terminal that wants colour (NO_COLOR and TERM=dumb say no).
bool wants_colour();
/// Columns of the terminal, at most 100; 80 where there is none.
int columns();
/// Whether the locale (LC_ALL, LC_CTYPE, LANG) says UTF-8.
bool shows_utf8();
/// Writing to a closed pipe becomes an error that write_out reports, not the end of the process.
void ignore_closed_pipes();

}  // namespace counterion::cli
