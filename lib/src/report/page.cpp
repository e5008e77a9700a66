// SPDX-License-Identifier: MIT
#include "page.hpp"

#include "words.hpp"

#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>

namespace counterion::report {
namespace {

constexpr std::size_t label_width = 9;

/// Length of the colour code that stands at the front of the text, 0 for none.
std::size_t code_length(std::string_view text) {
  if (!text.starts_with("\x1b[")) return 0;
  const auto end = text.find('m');
  return end == std::string_view::npos ? 0 : end + 1;
}

bool starts_character(char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }

/// Bytes of the longest front part that takes at most `columns`; at least one character.
std::size_t fitting_bytes(std::string_view text, std::size_t columns) {
  std::size_t at = 0, used = 0;
  while (at < text.size()) {
    if (const auto code = code_length(text.substr(at))) {
      at += code;
      continue;
    }
    if (used == columns) break;
    ++used;
    do ++at;
    while (at < text.size() && !starts_character(text[at]));
  }
  return at;
}

/// The same, but rather after a slash or hyphen in the second half, so that ids break legibly.
std::size_t breaking_bytes(std::string_view word, std::size_t columns) {
  const std::size_t most = fitting_bytes(word, columns);
  const auto sign = word.substr(0, most).find_last_of("/-");
  return sign != std::string_view::npos && sign + 1 > most / 2 ? sign + 1 : most;
}

/// Puts words after one another on lines of limited width.
class Wrapper {
 public:
  Wrapper(std::size_t width, std::size_t indent, std::size_t hang)
      : width_(width), hang_(hang), line_(indent, ' '), used_(indent) {}

  void add(std::string_view word) {
    const std::size_t gap = fresh_ ? 0 : 1, wide = columns_of(word);
    const bool fits_on_a_line = wide <= width_ - hang_;
    if (used_ + gap + wide > width_ && !fresh_ && (fits_on_a_line || used_ + 12 > width_)) break_line();
    if (!fresh_) line_ += ' ', ++used_;
    while (used_ + columns_of(word) > width_) {
      const auto bytes = breaking_bytes(word, width_ - used_);
      line_ += word.substr(0, bytes);
      word.remove_prefix(bytes);
      break_line();
    }
    line_ += word;
    used_ += columns_of(word);
    fresh_ = false;
  }
  std::string finish() {
    text_ += line_ + '\n';
    return std::move(text_);
  }

 private:
  void break_line() {
    text_ += line_ + '\n';
    line_.assign(hang_, ' ');
    used_ = hang_;
    fresh_ = true;
  }
  std::size_t width_, hang_;
  std::string text_, line_;
  std::size_t used_;
  bool fresh_ = true;
};

std::string wrapped(std::string_view text, std::size_t width, std::size_t indent, std::size_t hang) {
  Wrapper wrapper(width, indent, hang);
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    if (end > 0) wrapper.add(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return wrapper.finish();
}

/// The letters U+00C0 to U+00FF without their accents.
constexpr std::string_view unaccented =
    "AAAAAAACEEEEIIIIDNOOOOOxOUUUUYTsaaaaaaaceeeeiiiidnooooo/ouuuuyty";

std::string ascii_of(char32_t c) {
  if (c < 0x80) return std::string(1, static_cast<char>(c));
  if (c >= 0xC0 && c <= 0xFF) return std::string(1, unaccented[c - 0xC0]);
  switch (c) {
    case 0xA0: return " ";
    case 0xB0: return " degrees ";
    case 0xB1: return "+-";
    case 0xB5: case 0x3BC: return "u";
    case 0xB7: return ".";
    case 0x152: case 0x153: return "oe";
    case 0x2010: case 0x2011: case 0x2012: case 0x2013: case 0x2014: case 0x2212: return "-";
    case 0x2018: case 0x2019: return "'";
    case 0x201C: case 0x201D: case 0x201E: return "\"";
    case 0x2026: return "...";
    case 0x2264: return "<=";
    case 0x2265: return ">=";
    default: return "?";
  }
}

}  // namespace

std::size_t columns_of(std::string_view text) {
  std::size_t columns = 0;
  for (std::size_t at = 0; at < text.size();) {
    if (const auto code = code_length(text.substr(at))) {
      at += code;
    } else {
      columns += starts_character(text[at]);
      ++at;
    }
  }
  return columns;
}

std::string to_ascii(std::string_view text) {
  std::string ascii;
  if (!text::is_utf8(text)) return std::string(text);
  while (!text.empty()) ascii += ascii_of(text::take_code_point(text));
  return ascii;
}

Sheet::Sheet(const TextStyle& how)
    : style(how), width_(static_cast<std::size_t>(std::max(how.width, 40))) {}

std::string Sheet::look(Look look, std::string_view text) const {
  static constexpr std::array<std::string_view, 5> codes = {"\x1b[1m", "\x1b[32m", "\x1b[33m",
                                                            "\x1b[1;31m", "\x1b[2m"};
  if (!style.colour || text.empty()) return std::string(text);
  return std::string(codes[static_cast<std::size_t>(look)]) + std::string(text) + "\x1b[0m";
}

std::string Sheet::cite(const std::string& source, const std::string& row_id) {
  if (source.empty()) return {};
  const auto same = [&](const Citation& c) { return c.source == source && c.row_id == row_id; };
  auto place = std::find_if(citations_.begin(), citations_.end(), same);
  if (place == citations_.end()) place = citations_.insert(place, {source, row_id});
  return std::string(1, no_break) + look(Look::faint, "[" + std::to_string(place - citations_.begin() + 1) + "]");
}

void Sheet::heading(std::string_view title) {
  text_ += '\n';
  paragraph(look(Look::strong, title), 0, 0);
}

void Sheet::paragraph(std::string_view text, std::size_t indent, std::size_t hang) {
  text_ += wrapped(style.utf8 ? std::string(text) : to_ascii(text), width_, indent, hang);
}

void Sheet::labelled(std::string_view label, std::string_view text, Look label_look) {
  const std::size_t blanks = std::max(label_width, columns_of(label) + 1) - columns_of(label);
  paragraph(look(label_look, label) + std::string(blanks, no_break) + std::string(text), 2,
            2 + label_width);
}

void Sheet::line(std::string_view text) {
  const std::string shown = style.utf8 ? std::string(text) : to_ascii(text);
  text_ += shown.substr(0, fitting_bytes(shown, width_)) + '\n';
}

std::string Sheet::finish() && {
  std::replace(text_.begin(), text_.end(), no_break, ' ');
  return std::move(text_);
}

}  // namespace counterion::report
