// SPDX-License-Identifier: MIT
#include "curve_layout.hpp"

#include <algorithm>
#include <cmath>

namespace counterion::report {
namespace {

constexpr double least_plot = 190, legend_gap = 16;

std::vector<LegendEntry> legend_of(const Drawable& curve) {
  std::vector<LegendEntry> legend;
  const auto add = [&](bool wanted, Sign sign, std::string_view text) {
    if (wanted) legend.push_back({sign, std::string(text), {}});
  };
  add(!curve.points.empty(), Sign::course, "expected");
  add(curve.has_interval(), Sign::interval, "nine in ten");
  if (curve.target) add(true, Sign::aim, aim_text(curve));
  if (curve.window) add(true, Sign::window, window_text(curve));
  add(!curve.readings.empty(), Sign::read, "read");
  add(!curve.steps.empty(), Sign::planned, "planned");
  return legend;
}

/// Sets the legend's entries in rows below `top`; its lower end.
double set_legend(std::vector<LegendEntry>& legend, double top, double width) {
  double x = edge;
  for (auto& entry : legend) {
    const double wide = sign_width(entry.sign) + 6 + width_of(entry.text, text_size);
    if (x > edge && x + wide > width - edge) x = edge, top += line_height + 2;
    entry.spot = {x, top + line_height / 2};
    x += wide + legend_gap;
  }
  return legend.empty() ? top : top + line_height + 2;
}

double widest(const Axis& axis) {
  double wide = 0;
  for (const double tick : axis.ticks()) wide = std::max(wide, width_of(axis.text(tick), text_size));
  return wide;
}

double text_width(std::string_view text) { return width_of(text, text_size); }

/// As many steps as leave the longest number room beside its neighbours.
Axis grams_axis(const Stretch& grams, double width) {
  for (int most = static_cast<int>(width / 55); most > 1; --most) {
    const Axis axis = axis_over(grams, most);
    if (widest(axis) + 16 < axis.step / grams.length() * width) return axis;
  }
  return axis_over(grams, 1);
}

}  // namespace

double sign_width(Sign sign) { return sign == Sign::read || sign == Sign::planned ? 12 : 26; }

Layout layout_of(const Drawable& curve, int width, int height) {
  Layout layout;
  layout.width = std::clamp(width, 240, 4000);
  const double room = layout.width - 2 * edge;
  layout.title = lines_of(curve.title, title_size * 1.06, room, 3);
  layout.legend = legend_of(curve);
  const double titled = edge + static_cast<double>(layout.title.size()) * (line_height + 2) + 6;
  const double top = set_legend(layout.legend, titled, layout.width) + line_height + 8;
  layout.what = lines_of(curve.what, text_size, room, 2);
  const double below = 24 + static_cast<double>(layout.what.size()) * line_height + edge;
  layout.height = std::max<double>(std::clamp(height, 240, 4000), std::ceil(top + least_plot + below));
  layout.plot = {0, top, layout.width - edge - 8, layout.height - below};
  layout.ph = half_axis_over(curve.ph, std::clamp(static_cast<int>(layout.plot.height() / 24), 3, 14));
  layout.plot.left = edge + std::max(widest(layout.ph), width_of("pH", text_size)) + 10;
  layout.grams = curve.in_time ? time_axis_over(curve.grams, layout.plot.width(), 6, text_width)
                               : grams_axis(curve.grams, layout.plot.width());
  return layout;
}

}  // namespace counterion::report
