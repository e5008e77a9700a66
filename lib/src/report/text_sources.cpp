// SPDX-License-Identifier: MIT
#include "sections.hpp"

#include <counterion/text/utf8.hpp>

#include <algorithm>

namespace counterion::report {
namespace {

constexpr std::size_t least_citation = 14;

std::string shortened(std::string_view text, std::size_t columns, std::string_view cut) {
  if (columns_of(text) <= columns) return std::string(text);
  std::string head;
  while (columns_of(head) + columns_of(cut) < columns)
    text::append_code_point(head, text::take_code_point(text));
  return head + std::string(cut);
}

/// Columns left for the citation: on the row id's own line, or on the next where the id is long (it
/// breaks somewhat early).
std::size_t room_after(std::size_t head, std::size_t width) {
  const std::size_t line = width - 2, two_lines = line + width - 6, early = 25;
  if (head < line) return line - head;
  return head + early < two_lines ? two_lines - head - early : 0;
}

void say_source(Page& page, std::size_t number, const Citation& citation) {
  const auto* source = page.result.tables.source(citation.source);
  std::string text = source ? source->citation : citation.source;
  const std::string head = "[" + std::to_string(number) + "] " + citation.row_id;
  if (!page.style.all) {
    if (!page.style.utf8) text = to_ascii(text);
    const std::size_t left = room_after(columns_of(head) + 2, page.width());
    text = left < least_citation ? "" : shortened(text, left, page.glyph("…", "..."));
  }
  page.paragraph(text.empty() ? head : head + ": " + text, 2, 6);
}

}  // namespace

void say_sources(Page& page) {
  if (page.citations().empty()) return;
  page.heading("Sources: row of the tables, and where it comes from (--all cites in full)");
  for (std::size_t i = 0; i < page.citations().size(); ++i)
    say_source(page, i + 1, page.citations()[i]);
}

}  // namespace counterion::report
