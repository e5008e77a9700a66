// SPDX-License-Identifier: MIT
#include "curve_frame.hpp"
#include "page.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

constexpr std::size_t most_columns = 100, columns_per_tick = 8;
constexpr int most_row_steps = 11;

/// One character of the sketch; blank without glyph.
struct Cell {
  std::string_view glyph;
  std::optional<Look> look;
};

using Row = std::vector<Cell>;

/// The pH, or an end of the interval, between the points at so many grams.
template <double CurvePoint::*value>
double between(const std::vector<CurvePoint>& points, double grams) {
  const auto after = std::ranges::lower_bound(points, grams, {}, &CurvePoint::grams);
  if (after == points.begin()) return points.front().*value;
  if (after == points.end()) return points.back().*value;
  const auto& a = *std::prev(after);
  const auto& b = *after;
  const double share = b.grams > a.grams ? (grams - a.grams) / (b.grams - a.grams) : 1;
  return a.*value + share * (b.*value - a.*value);
}

double columns_wide(std::string_view text) { return static_cast<double>(columns_of(text)); }

/// The curve on a raster of characters; row 0 is the top.
class Raster {
 public:
  Raster(const Sheet& sheet, const Drawable& curve);

  const Axis& ph() const { return ph_; }
  const Axis& grams() const { return grams_; }
  std::size_t rows() const { return cells_.size(); }
  std::size_t columns() const { return cells_.front().size(); }
  std::size_t row(double ph) const;
  std::size_t column(double grams) const;
  /// A row's characters, coloured where the sheet is, without blanks at the end.
  std::string text(std::size_t row) const;
  /// The pH to write beside a row: that of a line drawn there, else a tick; empty for neither.
  std::string beside(std::size_t row) const;
  /// Columns that the widest pH takes.
  std::size_t margin() const { return margin_; }

 private:
  double grams_at(std::size_t column) const;
  std::optional<double> line_in(std::size_t row) const;
  std::string_view flat(double ph) const;
  void aim();
  bool is_reached(std::size_t column) const;
  void level(double ph, std::string_view glyph, std::optional<Look> look);
  void window();
  void interval();
  void course();
  void step_down(std::size_t column, std::size_t from, std::size_t to);
  void marks(const std::vector<CurveMark>& marks, std::string_view glyph);
  std::size_t widest_beside() const;

  const Sheet& sheet_;
  const Drawable& curve_;
  Axis ph_, grams_;
  std::vector<Row> cells_;
  std::size_t margin_ = 0;
};

std::size_t row_count(const Axis& ph) {
  const auto steps = static_cast<std::size_t>(std::lround(ph.stretch.length() / ph.step));
  return steps * std::max<std::size_t>(1, most_row_steps / std::max<std::size_t>(steps, 1)) + 1;
}

Raster::Raster(const Sheet& sheet, const Drawable& curve)
    : sheet_(sheet), curve_(curve), ph_(whole_axis_over(curve.ph, most_row_steps)) {
  cells_.resize(row_count(ph_));
  margin_ = widest_beside();
  const std::size_t columns = std::min(most_columns, sheet.width() - margin_ - 7);
  for (auto& row : cells_) row.resize(columns);
  grams_ = curve.in_time ? time_axis_over(curve.grams, static_cast<double>(columns), 2, columns_wide)
                         : axis_over(curve.grams, static_cast<int>(columns / columns_per_tick));
  interval();
  window();
  aim();
  course();
  marks(curve.steps, sheet.glyph("○", "+"));
  marks(curve.readings, sheet.glyph("●", "o"));
}

std::size_t Raster::row(double ph) const {
  return static_cast<std::size_t>(std::lround((1 - ph_.stretch.share(ph)) * static_cast<double>(rows() - 1)));
}

std::size_t Raster::column(double grams) const {
  return static_cast<std::size_t>(std::lround(grams_.stretch.share(grams) * static_cast<double>(columns() - 1)));
}

double Raster::grams_at(std::size_t column) const {
  const double share = static_cast<double>(column) / static_cast<double>(columns() - 1);
  return grams_.stretch.low + grams_.stretch.length() * share;
}

/// Whether the curve comes by a column.
bool Raster::is_reached(std::size_t column) const {
  return !curve_.points.empty() && column >= this->column(curve_.points.front().grams) &&
         column <= this->column(curve_.points.back().grams);
}

void Raster::level(double ph, std::string_view glyph, std::optional<Look> look) {
  std::ranges::fill(cells_[row(ph)], Cell{glyph, look});
}

void Raster::window() {
  if (!curve_.window) return;
  for (const double edge : {curve_.window->first, curve_.window->second})
    if (edge >= ph_.stretch.low && edge <= ph_.stretch.high) level(edge, sheet_.glyph("╌", "-"), Look::good);
}

/// Where an edge of the window lies in the same row both are to be seen, in turns.
void Raster::aim() {
  if (!curve_.target) return;
  Row& cells = cells_[row(*curve_.target)];
  for (std::size_t x = 0; x < cells.size(); ++x)
    if (cells[x].look != Look::good || x % 8 < 4) cells[x] = {sheet_.glyph("━", "="), Look::good};
}

void Raster::interval() {
  if (!curve_.has_interval()) return;
  for (std::size_t x = 0; x < columns(); ++x) {
    if (!is_reached(x)) continue;
    const std::size_t top = row(between<&CurvePoint::high>(curve_.points, grams_at(x)));
    const std::size_t bottom = row(between<&CurvePoint::low>(curve_.points, grams_at(x)));
    for (std::size_t y = top; y <= bottom; ++y) cells_[y][x] = {sheet_.glyph("░", ":"), Look::faint};
  }
}

/// From one row to another within a column.
void Raster::step_down(std::size_t column, std::size_t from, std::size_t to) {
  const bool falls = to > from;
  const auto put = [&](std::size_t y, std::string_view utf8, std::string_view ascii) {
    cells_[y][column] = {sheet_.glyph(utf8, ascii), Look::strong};
  };
  for (std::size_t y = std::min(from, to); y <= std::max(from, to); ++y) put(y, "│", "|");
  put(from, falls ? "╮" : "╯", falls ? "." : "'");
  put(to, falls ? "╰" : "╭", falls ? "'" : ".");
}

/// A level piece of the curve: in the upper part of its row, the middle or the lower part, seen from the line that is
/// drawn there, so that the curve never seems to be on the other side of it.
std::string_view Raster::flat(double ph) const {
  const std::size_t y = row(ph);
  const double height = ph_.stretch.length() / static_cast<double>(rows() - 1);
  const double above = ph - line_in(y).value_or(ph_.stretch.high - height * static_cast<double>(y));
  if (above > height / 6) return sheet_.glyph("▔", "'");
  return above < -height / 6 ? sheet_.glyph("▁", "_") : sheet_.glyph("─", "~");
}

void Raster::course() {
  const auto row_at = [&](std::size_t x) { return row(between<&CurvePoint::ph>(curve_.points, grams_at(x))); };
  if (curve_.points.size() == 1) {
    const auto& point = curve_.points.front();
    cells_[row(point.ph)][column(point.grams)] = {sheet_.glyph("×", "x"), Look::strong};
    return;
  }
  for (std::size_t x = 0; x < columns(); ++x) {
    if (!is_reached(x)) continue;
    const std::size_t from = row_at(x), to = is_reached(x + 1) && x + 1 < columns() ? row_at(x + 1) : from;
    if (from == to) cells_[from][x] = {flat(between<&CurvePoint::ph>(curve_.points, grams_at(x))), Look::strong};
    else step_down(x, from, to);
  }
}

void Raster::marks(const std::vector<CurveMark>& marks, std::string_view glyph) {
  for (const auto& mark : marks) cells_[row(mark.ph)][column(mark.grams)] = {glyph, Look::strong};
}

std::string Raster::text(std::size_t row) const {
  const Row& cells = cells_[row];
  std::string text, run;
  for (std::size_t x = 0; x < cells.size(); ++x) {
    run += cells[x].glyph.empty() ? " " : cells[x].glyph;
    if (x + 1 < cells.size() && cells[x + 1].look == cells[x].look) continue;
    if (!cells[x].look && x + 1 == cells.size()) break;
    text += cells[x].look ? sheet_.look(*cells[x].look, run) : run;
    run.clear();
  }
  return text;
}

/// The aim or an edge of the window, where it is drawn in this row.
std::optional<double> Raster::line_in(std::size_t row) const {
  std::vector<double> lines;
  if (curve_.target) lines.push_back(*curve_.target);
  if (curve_.window) lines.insert(lines.end(), {curve_.window->first, curve_.window->second});
  for (const double line : lines)
    if (line >= ph_.stretch.low && line <= ph_.stretch.high && this->row(line) == row) return line;
  return {};
}

std::string Raster::beside(std::size_t row) const {
  if (const auto line = line_in(row)) return ph_text(*line);
  for (const double tick : ph_.ticks())
    if (this->row(tick) == row) return ph_.text(tick);
  return {};
}

std::size_t Raster::widest_beside() const {
  std::size_t widest = 0;
  for (std::size_t y = 0; y < rows(); ++y) widest = std::max(widest, beside(y).size());
  return widest;
}

void say_rows(Sheet& sheet, const Raster& raster) {
  for (std::size_t y = 0; y < raster.rows(); ++y) {
    const std::string beside = raster.beside(y);
    sheet.line(fmt::format("  {} {:>{}} {}{}", y == 0 ? "pH" : "  ", beside, raster.margin(),
                           beside.empty() ? sheet.glyph("│", "|") : sheet.glyph("┤", "+"), raster.text(y)));
  }
}

/// The axis of grams: a line with ticks, and their numbers.
void say_grams(Sheet& sheet, const Raster& raster) {
  const std::size_t left = raster.margin() + 6;
  std::vector<std::string_view> axis(raster.columns(), sheet.glyph("─", "-"));
  std::string numbers(left + 1 + raster.columns(), ' ');
  for (const double tick : raster.grams().ticks()) {
    const std::string text = raster.grams().text(tick);
    const std::size_t column = raster.column(tick), middle = left + 1 + column;
    axis[column] = sheet.glyph("┬", "+");
    const std::size_t begin = std::min(middle - text.size() / 2, numbers.size() - text.size());
    numbers.replace(begin, text.size(), text);
  }
  numbers.erase(numbers.find_last_not_of(' ') + 1);
  sheet.line(fmt::format("{}{}{}", std::string(left, ' '), sheet.glyph("└", "+"), fmt::join(axis, "")));
  sheet.line(numbers);
}

/// A sign and its words, which no line end parts.
std::string entry(std::string_view sign, std::string words) {
  std::replace(words.begin(), words.end(), ' ', no_break);
  return fmt::format("{}{}{}", sign, no_break, words);
}

void say_legend(Sheet& sheet, const Drawable& curve) {
  std::vector<std::string> entries;
  const auto add = [&](bool wanted, std::string_view utf8, std::string_view ascii, const std::string& words) {
    if (wanted) entries.push_back(entry(sheet.glyph(utf8, ascii), words));
  };
  add(curve.points.size() == 1, "×", "x", "expected");
  add(curve.points.size() > 1, "─", "~", "expected");
  add(curve.has_interval(), "░", ":", "nine in ten");
  if (curve.target) add(true, "━", "=", aim_text(curve));
  if (curve.window) add(true, "╌", "-", window_text(curve));
  add(!curve.readings.empty(), "●", "o", "read");
  add(!curve.steps.empty(), "○", "+", "planned");
  sheet.paragraph(fmt::format("{}", fmt::join(entries, std::string{no_break, ' '})), 2, 2);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < text.size();) {
    const auto end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    lines.back().erase(lines.back().find_last_not_of(' ') + 1);
    at = end + 1;
  }
  return lines;
}

}  // namespace
}  // namespace counterion::report

namespace counterion {

namespace {

std::vector<std::string> sketch(const report::Drawable& drawable, const TextStyle& style) {
  report::Sheet sheet(style);
  const auto title = sheet.look(report::Look::strong, report::unbroken(drawable.title));
  if (!title.empty()) sheet.paragraph(title, 0, 2);
  if (drawable.is_blank()) {
    sheet.paragraph("There is no curve to draw.");
    return report::lines_of(std::move(sheet).finish());
  }
  const report::Raster raster(sheet, drawable);
  report::say_rows(sheet, raster);
  report::say_grams(sheet, raster);
  if (!drawable.what.empty()) sheet.paragraph(drawable.what, raster.margin() + 7, raster.margin() + 7);
  report::say_legend(sheet, drawable);
  return report::lines_of(std::move(sheet).finish());
}

}  // namespace

std::vector<std::string> sketch_of(const Curve& curve, const TextStyle& style) {
  return sketch(report::Drawable(curve), style);
}

std::vector<std::string> sketch_of(const Course& course, const TextStyle& style) {
  return sketch(report::Drawable(course), style);
}

}  // namespace counterion
