// SPDX-License-Identifier: MIT
// Keys of rows as one text.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

namespace counterion::tables {

/// The parts that are not empty with slashes between, "ranges/urea/stability/book".
std::string join_key(std::initializer_list<std::string_view> parts);

/// Free text as part of a row id, its first words: "ready for use, pH < 5" becomes
/// ready-for-use-ph.
std::string slug(std::string_view text);

}  // namespace counterion::tables
