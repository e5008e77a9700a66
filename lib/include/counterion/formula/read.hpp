// SPDX-License-Identifier: MIT
// Reading formulas as spreadsheets save them, and as JSON.
#pragma once

#include <counterion/formula/formula.hpp>

#include <filesystem>
#include <string>
#include <string_view>

namespace counterion {

/// How to read a formula.
struct ReadOptions {
  bool allow_unlisted = false;  ///< take materials that no table lists, as "not judged"
};

/// Reads a formula from CSV text (comma, semicolon or tab; decimal point or comma; byte-order mark;
/// CRLF; quotes; totals and blank rows; `# key: value` lines) or, when the text starts with `{`,
/// from JSON. Throws BadInput with every fault at once; `file` is what messages call the text.
Formula read_formula(std::string_view text, const std::string& file, const Tables& tables,
                     const ReadOptions& options = {});

/// The same from a file; throws BadInput when it cannot be opened or is no regular file.
Formula read_formula_file(const std::filesystem::path& path, const Tables& tables,
                          const ReadOptions& options = {});

}  // namespace counterion
