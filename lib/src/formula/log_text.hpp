// SPDX-License-Identifier: MIT
// The lines of a log, each by itself: one that is damaged does not take the others along.
#pragma once

#include "source.hpp"

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::formula {

/// A log's text with all lines in their places; those that cannot be taken apart are empty in it.
struct LogText {
  std::string text;                  ///< UTF-8
  std::vector<std::string> lines;    ///< as they stood, without line ends
  std::set<std::size_t> unreadable;  ///< lines, from 1
};

/// The lines of a text, which end in LF, CRLF or CR.
std::vector<std::string_view> lines_of(std::string_view text);

/// Decodes a log line by line and leaves out lines of bytes that are no text, or with quotes that
/// are never closed; each is a problem in the findings. Throws BadInput where hardly any line is
/// text.
LogText log_text_of(std::string_view bytes, const FileKind& kind, Findings& findings);

}  // namespace counterion::formula
