// SPDX-License-Identifier: MIT
// When two names are the same name, and how far apart they are when they are not.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace counterion::text {

/// The name (UTF-8) without what does not tell names apart: case, blanks, hyphens, punctuation,
/// diacritics, British against American spelling.
std::string normalise(std::string_view name);

/// Least number of insertions, deletions, substitutions and swaps of neighbours that turn one text
/// into the other (optimal string alignment, bytes); `most + 1` where it is more than `most`.
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t most);

/// How many edits a normalised name of this length forgives before it is another name.
constexpr std::size_t forgiven_edits(std::size_t length) noexcept {
  return length < 4 ? 1 : length < 8 ? 2 : length < 14 ? 3 : 4;
}

}  // namespace counterion::text
