// SPDX-License-Identifier: MIT
#include "curve_labels.hpp"

#include "curve_frame.hpp"
#include "page.hpp"

#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace counterion::report {
namespace {

constexpr double no_room = std::numeric_limits<double>::infinity();
constexpr double mark_radius = 6, dot_gap = 4, cost_of_level = 4, cost_of_distance = 0.3, most_cost = 14;

/// Width of a character as a share of the letter's size.
double share_of(char32_t c) {
  constexpr std::string_view narrow = "ijltfI.,:;'|!()[] ", wide = "mwMW%@";
  if (c >= 0x1100) return 1.05;
  if (c >= 0x80) return 0.7;
  if (narrow.find(static_cast<char>(c)) != std::string_view::npos) return 0.4;
  if (wide.find(static_cast<char>(c)) != std::string_view::npos) return 0.98;
  return c >= 'A' && c <= 'Z' ? 0.72 : 0.62;
}

/// Characters of the text's front that fit; at least one.
std::size_t fitting(std::string_view text, double size, double width) {
  std::size_t count = 0;
  for (double used = 0; !text.empty(); ++count) {
    used += share_of(text::take_code_point(text)) * size;
    if (used > width) break;
  }
  return std::max<std::size_t>(count, 1);
}

std::string ended(std::string_view text, double size, double width) {
  return shortened(text, std::max<std::size_t>(fitting(text, size, width - size), 2));
}

/// Bytes of the longest front that fits and ends at a blank, else of what fits.
std::size_t breaking(std::string_view text, double size, double width) {
  std::string_view rest = text;
  for (std::size_t i = fitting(text, size, width); i > 0 && !rest.empty(); --i) text::take_code_point(rest);
  const std::size_t most = text.size() - rest.size();
  if (rest.empty() || rest.front() == ' ') return most;
  const auto blank = text.substr(0, most).rfind(' ');
  return blank == std::string_view::npos || blank == 0 ? most : blank;
}

/// Dots along a line, near enough to one another that no label slips between them.
std::vector<Spot> dotted(const std::vector<Spot>& line) {
  std::vector<Spot> dots(line.begin(), line.begin() + (line.empty() ? 0 : 1));
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Spot a = line[i - 1], b = line[i];
    const int pieces = 1 + static_cast<int>(std::hypot(b.x - a.x, b.y - a.y) / dot_gap);
    for (int k = 1; k <= pieces; ++k)
      dots.push_back({a.x + (b.x - a.x) * k / pieces, a.y + (b.y - a.y) * k / pieces});
  }
  return dots;
}

Box around(const Spot& spot, double radius) {
  return {spot.x - radius, spot.y - radius, spot.x + radius, spot.y + radius};
}

/// A box whose middle lies in a direction (-1, 0, 1 each way) from a mark, so far off.
Box beside(const Spot& mark, int right, int down, double gap, double width, double height) {
  const double reach = right != 0 && down != 0 ? gap * 0.6 : gap;
  const double x = mark.x + right * (reach + width / 2), y = mark.y + down * (reach + height / 2);
  return {x - width / 2, y - height / 2, x + width / 2, y + height / 2};
}

constexpr int directions[][2] = {{1, -1}, {1, 0}, {-1, 1}, {-1, 0}, {-1, -1}, {1, 1}, {0, -1}, {0, 1}};

}  // namespace

double width_of(std::string_view text, double size) {
  double width = 0;
  while (!text.empty()) width += share_of(text::take_code_point(text)) * size;
  return width;
}

std::vector<std::string> lines_of(std::string_view text, double size, double width, std::size_t most) {
  std::vector<std::string> lines;
  while (!text.empty() && lines.size() < most) {
    const bool all = width_of(text, size) <= width;
    if (!all && lines.size() + 1 == most) {
      lines.push_back(ended(text, size, width));
      break;
    }
    const std::size_t bytes = all ? text.size() : breaking(text, size, width);
    lines.emplace_back(text.substr(0, bytes));
    text = text::trim(text.substr(bytes));
  }
  return lines;
}

LabelRoom::LabelRoom(const Box& frame, const std::vector<Spot>& curve, const std::vector<Spot>& marks,
                     const std::vector<double>& levels)
    : frame_(frame), curve_(dotted(curve)), marks_(marks), levels_(levels) {}

double LabelRoom::cost_of(const Box& box) const {
  const auto met = [&](const Box& other) { return box.meets(other); };
  if (!frame_.holds(box) || std::ranges::any_of(taken_, met)) return no_room;
  if (std::ranges::any_of(marks_, [&](const Spot& s) { return met(around(s, mark_radius)); })) return no_room;
  const auto on_curve = std::ranges::count_if(curve_, [&](const Spot& s) { return met(around(s, 2)); });
  const auto on_levels = std::ranges::count_if(levels_, [&](double y) { return box.top < y && y < box.bottom; });
  return static_cast<double>(on_curve) + cost_of_level * static_cast<double>(on_levels);
}

bool LabelRoom::find(const Spot& mark, double width, double height, Box& box) {
  double least = most_cost;
  for (const double gap : {9.0, 20.0})
    for (const auto& [right, down] : directions) {
      const Box tried = beside(mark, right, down, gap, width, height);
      const double cost = cost_of(tried) + cost_of_distance * gap;
      if (cost < least) least = cost, box = tried;
    }
  if (least == most_cost) return false;
  taken_.push_back(box);
  return true;
}

}  // namespace counterion::report
