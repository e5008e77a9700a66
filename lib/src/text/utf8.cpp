// SPDX-License-Identifier: MIT
#include <counterion/text/utf8.hpp>

#include <counterion/error.hpp>

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

namespace counterion::text {
namespace {

using namespace std::string_view_literals;

unsigned byte_at(std::string_view text, std::size_t i) noexcept {
  return static_cast<unsigned char>(text[i]);
}

/// What Windows-1252 has at 0x80 to 0x9F; 0 where it has nothing.
constexpr std::array<char16_t, 32> windows_1252_high{
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

constexpr std::size_t length_by_lead(unsigned lead) noexcept {
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead < 0xE0) return 2;
  if (lead >= 0xE0 && lead < 0xF0) return 3;
  return lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
}

constexpr bool is_well_placed(char32_t point, std::size_t length) noexcept {
  if (length == 3) return point >= 0x800 && (point < 0xD800 || point > 0xDFFF);
  return length != 4 || (point >= 0x10000 && point <= 0x10FFFF);
}

char32_t assemble(std::string_view text, std::size_t length) noexcept {
  if (length == 1) return byte_at(text, 0);
  char32_t point = byte_at(text, 0) & (0x7FU >> length);
  for (std::size_t i = 1; i < length; ++i) point = (point << 6) | (byte_at(text, i) & 0x3FU);
  return point;
}

std::size_t well_formed_length(std::string_view text) noexcept {
  const auto length = length_by_lead(byte_at(text, 0));
  if (length == 0 || length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte_at(text, i) & 0xC0U) != 0x80U) return 0;
  }
  return is_well_placed(assemble(text, length), length) ? length : 0;
}

std::string from_windows_1252(std::string_view bytes) {
  std::string text;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const auto byte = byte_at(bytes, i);
    const bool mapped = byte >= 0x80 && byte < 0xA0;
    append_code_point(text, mapped ? windows_1252_high[byte - 0x80] : byte);
  }
  return text;
}

std::string from_utf16(std::string_view bytes, bool big_endian) {
  const auto unit = [&](std::size_t i) -> char32_t {
    return big_endian ? byte_at(bytes, i) << 8 | byte_at(bytes, i + 1)
                      : byte_at(bytes, i + 1) << 8 | byte_at(bytes, i);
  };
  std::string text;
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    auto point = unit(i);
    const bool high = point >= 0xD800 && point < 0xDC00 && i + 3 < bytes.size();
    if (high && unit(i + 2) >= 0xDC00 && unit(i + 2) < 0xE000) {
      point = 0x10000 + ((point - 0xD800) << 10) + (unit(i + 2) - 0xDC00);
      i += 2;
    }
    append_code_point(text, point >= 0xD800 && point < 0xE000 ? U'\uFFFD' : point);
  }
  return text;
}

Decoded decode_any(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF"sv)) bytes.remove_prefix(3);
  if (bytes.starts_with("\xFF\xFE"sv)) {
    return {from_utf16(bytes.substr(2), false), Encoding::utf16_little_endian};
  }
  if (bytes.starts_with("\xFE\xFF"sv)) {
    return {from_utf16(bytes.substr(2), true), Encoding::utf16_big_endian};
  }
  if (is_utf8(bytes)) return {std::string(bytes), Encoding::utf8};
  return {from_windows_1252(bytes), Encoding::windows_1252};
}

bool is_binary(char c) noexcept {
  const auto byte = static_cast<unsigned char>(c);
  return byte == 0x7F || (byte < 0x20 && c != '\t' && c != '\n' && c != '\r' && c != '\f');
}

std::string_view name_of_format(std::string_view bytes) noexcept {
  if (bytes.starts_with("PK\x03\x04"sv)) return "a workbook or another packed file";
  if (bytes.starts_with("\xD0\xCF\x11\xE0"sv)) return "a workbook or document in a binary format";
  return bytes.starts_with("%PDF"sv) ? "a PDF file"sv : "bytes that are no text"sv;
}

}  // namespace

Decoded decode(std::string_view bytes, const std::string& file) {
  auto decoded = decode_any(bytes);
  const auto& text = decoded.text;
  const auto rubbish = std::ranges::find_if(text, is_binary);
  if (rubbish == text.end()) return decoded;
  const auto line = static_cast<std::size_t>(std::count(text.begin(), rubbish, '\n')) + 1;
  std::vector<Problem> problems;
  add_problem(problems, {file, line, 0}, std::string(name_of_format(bytes)),
              "plain text; in a spreadsheet program save the sheet as CSV");
  throw BadInput(std::move(problems));
}

bool is_utf8(std::string_view bytes) noexcept {
  while (!bytes.empty()) {
    const auto length = well_formed_length(bytes);
    if (length == 0) return false;
    bytes.remove_prefix(length);
  }
  return true;
}

char32_t take_code_point(std::string_view& text) noexcept {
  const auto length = std::max<std::size_t>(well_formed_length(text), 1);
  const auto point = assemble(text, length);
  text.remove_prefix(length);
  return point;
}

void append_code_point(std::string& text, char32_t code_point) {
  const auto add = [&text](char32_t byte) { text += static_cast<char>(byte); };
  const auto add_tail = [&](int shift) { add(0x80 | (code_point >> shift & 0x3F)); };
  if (code_point < 0x80) {
    add(code_point);
  } else if (code_point < 0x800) {
    add(0xC0 | code_point >> 6);
    add_tail(0);
  } else if (code_point < 0x10000) {
    add(0xE0 | code_point >> 12);
    add_tail(6);
    add_tail(0);
  } else {
    add(0xF0 | code_point >> 18);
    add_tail(12);
    add_tail(6);
    add_tail(0);
  }
}

std::string_view trim(std::string_view text) noexcept {
  constexpr std::array blanks{" "sv,  "\t"sv,       "\r"sv,          "\n"sv,
                              "\f"sv, "\xC2\xA0"sv, "\xE2\x80\xAF"sv};
  const auto strip = [&](auto meets, auto remove) {
    for (bool again = true; again;) {
      again = false;
      for (const auto blank : blanks) {
        if (meets(blank)) remove(blank.size()), again = true;
      }
    }
  };
  strip([&](auto blank) { return text.starts_with(blank); },
        [&](auto size) { text.remove_prefix(size); });
  strip([&](auto blank) { return text.ends_with(blank); },
        [&](auto size) { text.remove_suffix(size); });
  return text;
}

}  // namespace counterion::text
