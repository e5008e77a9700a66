// SPDX-License-Identifier: MIT
// Where everything stands in the picture of a curve.
#pragma once

#include "curve_frame.hpp"
#include "curve_labels.hpp"

namespace counterion::report {

constexpr double edge = 14, title_size = 15, text_size = 13, line_height = 18;

/// What a picture's legend may show.
enum class Sign { course, interval, window, aim, read, planned };

struct LegendEntry {
  Sign sign;
  std::string text;
  Spot spot;  ///< left end of the sign, at half its height
};

/// Where everything stands.
struct Layout {
  double width = 0, height = 0;
  std::vector<std::string> title, what;
  std::vector<LegendEntry> legend;
  Axis grams, ph;
  Box plot;

  double x(double value) const { return plot.left + plot.width() * grams.stretch.share(value); }
  double y(double value) const { return plot.bottom - plot.height() * ph.stretch.share(value); }
  Spot spot(double at_grams, double at_ph) const { return {x(at_grams), y(at_ph)}; }
};

/// Pixels that a sign of the legend takes.
double sign_width(Sign sign);

/// Sets title, legend, axes and plot; the picture is made higher where they need it.
Layout layout_of(const Drawable& curve, int width, int height);

}  // namespace counterion::report
