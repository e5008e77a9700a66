// SPDX-License-Identifier: MIT
// From the bytes of a file to UTF-8 text.
#pragma once

#include <string>
#include <string_view>

namespace counterion::text {

enum class Encoding { utf8, utf16_little_endian, utf16_big_endian, windows_1252 };

/// A file's text in UTF-8 without byte-order mark, and how the file had it.
struct Decoded {
  std::string text;
  Encoding encoding = Encoding::utf8;
};

/// Decodes UTF-8, UTF-16 with byte-order mark, and what is neither as Windows-1252; throws
/// BadInput, with the line, where the bytes are no text.
Decoded decode(std::string_view bytes, const std::string& file);

/// Whether every byte belongs to a well-formed UTF-8 sequence (no surrogates, nothing overlong).
bool is_utf8(std::string_view bytes) noexcept;

/// Takes the first code point off well-formed UTF-8 text, which may not be empty.
char32_t take_code_point(std::string_view& text) noexcept;

/// Appends a code point as UTF-8.
void append_code_point(std::string& text, char32_t code_point);

/// The text without blanks, tabs and no-break spaces at both ends.
std::string_view trim(std::string_view text) noexcept;

}  // namespace counterion::text
