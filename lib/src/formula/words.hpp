// SPDX-License-Identifier: MIT
// Cells as words, so that "Menge (g)", "MENGE_g" and "menge [G]" are the same.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::formula {

using WordSet = std::set<std::string, std::less<>>;

/// The words of a text, each normalised; digits and the percent sign are words of their own.
std::vector<std::string> words_of(std::string_view text);

/// The words without anything between them.
std::string joined(const std::vector<std::string>& words);

/// Whether one of the words is in the set.
bool holds(const std::vector<std::string>& words, const WordSet& set);

/// Appends to a text, with something between where neither is empty.
void append(std::string& text, std::string_view more, std::string_view between);

/// A cell's text as messages show it, in quotes; "a long text" where nobody would read it.
std::string shown(std::string_view text);

/// "a, b or c".
std::string list_words(const std::vector<std::string>& words);

}  // namespace counterion::formula
