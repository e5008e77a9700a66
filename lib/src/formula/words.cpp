// SPDX-License-Identifier: MIT
#include "words.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

enum class Kind { separator, letter, digit, percent };

Kind kind_of(char c) noexcept {
  if (c == '%') return Kind::percent;
  if (c >= '0' && c <= '9') return Kind::digit;
  const bool ascii_letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
  return ascii_letter || static_cast<unsigned char>(c) >= 0x80 ? Kind::letter : Kind::separator;
}

}  // namespace

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (std::size_t begin = 0; begin < text.size();) {
    const auto kind = kind_of(text[begin]);
    auto end = begin + 1;
    while (end < text.size() && kind != Kind::percent && kind_of(text[end]) == kind) ++end;
    const auto word = text.substr(begin, end - begin);
    begin = end;
    if (kind == Kind::separator) continue;
    auto normal = kind == Kind::letter ? text::normalise(word) : std::string(word);
    if (!normal.empty()) words.push_back(std::move(normal));
  }
  return words;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words) text += word;
  return text;
}

bool holds(const std::vector<std::string>& words, const WordSet& set) {
  return std::ranges::any_of(words, [&](const auto& word) { return set.contains(word); });
}

void append(std::string& text, std::string_view more, std::string_view between) {
  if (!text.empty() && !more.empty()) text += between;
  text += more;
}

std::string shown(std::string_view text) {
  constexpr std::size_t longest = 80;  // bytes
  return text.size() > longest ? "a long text" : fmt::format("'{}'", text);
}

std::string list_words(const std::vector<std::string>& words) {
  std::string list;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) list += i + 1 == words.size() ? " or " : ", ";
    list += words[i];
  }
  return list;
}

}  // namespace counterion::formula
