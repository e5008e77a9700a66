// SPDX-License-Identifier: MIT
// The text of a file that somebody saved, whatever its encoding.
#pragma once

#include "findings.hpp"

#include <filesystem>
#include <string>
#include <string_view>

namespace counterion::formula {

/// What messages call a file of this kind.
struct FileKind {
  std::string_view files;  ///< "a CSV or JSON file"
  std::string_view one;    ///< "a formula"
};

/// The bytes of a file; throws BadInput when it cannot be opened, is no regular file or too large.
std::string bytes_of(const std::filesystem::path& path, const FileKind& kind);

/// The bytes as UTF-8; throws BadInput where they are too many or no text, and says a guess.
std::string text_of(std::string_view bytes, const FileKind& kind, Findings& findings);

}  // namespace counterion::formula
