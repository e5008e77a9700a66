// SPDX-License-Identifier: MIT
#include "ruler.hpp"

#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

/// The text in exactly so many columns, cut or filled up with blanks.
std::string in_columns(std::string_view text, std::size_t columns, std::string_view cut) {
  std::string shown(text);
  if (columns_of(shown) > columns) {
    std::string head;
    std::string_view rest = text;
    while (columns_of(head) + columns_of(cut) < columns)
      text::append_code_point(head, text::take_code_point(rest));
    shown = head + std::string(cut);
  }
  return shown + std::string(columns - std::min(columns, columns_of(shown)), ' ');
}

}  // namespace

std::size_t Scale::column(double ph) const {
  const double at = std::clamp(ph, double(low), double(high)) - low;
  return static_cast<std::size_t>(std::lround(at * static_cast<double>(columns_per_unit)));
}

Ruler::Ruler(Page& page, const Scale& scale, std::size_t name_columns)
    : page_(page), scale_(scale), name_columns_(name_columns) {}

void Ruler::row(std::string_view name, const Cells& cells, std::string_view figures) {
  std::string text = "  " + in_columns(page_.style.utf8 ? std::string(name) : to_ascii(name),
                                       name_columns_, page_.glyph("…", "~")) + ' ';
  for (const auto cell : cells) text += cell;
  page_.line(text + "  " + std::string(figures));
}

void Ruler::axis() {
  std::string text(name_columns_ + 3 + scale_.columns() + 2, ' ');
  const std::string name = "pH";
  text.replace(2, name.size(), name);
  const int step = scale_.columns_per_unit < 3 ? 2 : 1;
  for (int ph = scale_.low; ph <= scale_.high; ph += step) {
    const std::string number = std::to_string(ph);
    const std::size_t at = name_columns_ + 3 + scale_.column(ph) - (number.size() - 1);
    text.replace(at, number.size(), number);
  }
  text.erase(text.find_last_not_of(' ') + 1);
  page_.line(text);
}

void Ruler::fill(Cells& cells, std::size_t from, std::size_t to, std::string_view glyph) const {
  std::fill(cells.begin() + static_cast<std::ptrdiff_t>(from),
            cells.begin() + static_cast<std::ptrdiff_t>(to) + 1, glyph);
}

void Ruler::bar(std::string_view name, const std::optional<double>& low,
                const std::optional<double>& high, bool solid, std::string_view figures) {
  const bool open_low = !low || *low < scale_.low, open_high = !high || *high > scale_.high;
  const std::size_t from = open_low ? 0 : scale_.column(*low);
  const std::size_t to = open_high ? scale_.columns() - 1 : scale_.column(*high);
  Cells cells = blank();
  fill(cells, from, std::max(from, to), solid ? page_.glyph("━", "=") : page_.glyph("╌", "-"));
  cells[from] = open_low ? "<" : "[";
  cells[std::max(from, to)] = open_high ? ">" : "]";
  row(name, cells, figures);
}

void Ruler::band(std::string_view name, double low, double high, std::string_view figures) {
  Cells cells = blank();
  fill(cells, scale_.column(low), scale_.column(high), page_.glyph("█", "#"));
  row(name, cells, figures);
}

void Ruler::interval(std::string_view name, double low, double middle, double high,
                     std::string_view figures) {
  Cells cells = blank();
  const std::size_t from = scale_.column(low), to = scale_.column(high);
  fill(cells, from, to, page_.glyph("─", "-"));
  cells[from] = page_.glyph("├", "|");
  cells[to] = page_.glyph("┤", "|");
  cells[scale_.column(middle)] = page_.glyph("●", "o");
  row(name, cells, figures);
}

void Ruler::mark(std::string_view name, double ph, std::string_view figures) {
  Cells cells = blank();
  cells[scale_.column(ph)] = page_.glyph("▲", "^");
  row(name, cells, figures);
}

}  // namespace counterion::report
