// SPDX-License-Identifier: MIT
#include "sections.hpp"

namespace counterion::report {
namespace {

void say_source(Page& page, std::size_t number, const Citation& citation) {
  std::string text = "[" + std::to_string(number) + "] " + citation.row_id;
  const auto* source = page.result.tables.source(citation.source);
  if (page.style.all && source) text.append(": ").append(source->citation);
  page.paragraph(text, 2, 6);
}

}  // namespace

void say_sources(Page& page) {
  if (page.citations().empty()) return;
  page.heading(page.style.all ? "Sources: row of the tables, and where it comes from"
                              : "Sources: rows of the tables (--all cites in full)");
  for (std::size_t i = 0; i < page.citations().size(); ++i)
    say_source(page, i + 1, page.citations()[i]);
}

}  // namespace counterion::report
