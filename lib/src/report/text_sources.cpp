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

void say_source(Page& page, std::size_t number, const Citation& citation) {
  const auto* source = page.result.tables.source(citation.source);
  std::string text = source ? source->citation : citation.source;
  const std::string head = "[" + std::to_string(number) + "] " + citation.row_id + "  ";
  if (!page.style.all) {
    if (!page.style.utf8) text = to_ascii(text);
    const std::size_t used = (columns_of(head) + 2) % page.width();
    const std::size_t left = page.width() - used;
    text = left < least_citation ? "" : shortened(text, left, page.glyph("…", "..."));
  }
  page.paragraph(head + text, 2, 6);
}

}  // namespace

void say_sources(Page& page) {
  if (page.citations().empty()) return;
  page.heading("Sources: the row of the tables, and where it comes from (--all cites in full)");
  for (std::size_t i = 0; i < page.citations().size(); ++i)
    say_source(page, i + 1, page.citations()[i]);
}

}  // namespace counterion::report
