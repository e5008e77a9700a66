// SPDX-License-Identifier: MIT
// What both looks of a curve share: what can be drawn, the stretches it takes, round ticks, words.
#pragma once

#include <counterion/report/curve.hpp>

#include <string_view>

namespace counterion::report {

/// A stretch of numbers.
struct Stretch {
  double low = 0, high = 0;

  double length() const { return high - low; }
  double kept(double value) const;
  /// Where a value lies, 0 at the low end to 1 at the high one; kept inside.
  double share(double value) const { return (kept(value) - low) / length(); }
};

/// A tick with a name of its own.
struct NamedTick {
  double at = 0;
  std::string name;
};

/// A stretch with ticks a round step (1, 2 or 5 times a power of ten) apart, or with ticks that have names.
struct Axis {
  Stretch stretch;
  double step = 1;
  std::vector<NamedTick> named = {};

  std::vector<double> ticks() const;
  /// A tick with as many decimals as the step needs.
  std::string text(double tick) const;
};

/// At most so many steps over the stretch.
Axis axis_over(const Stretch& stretch, int most_steps);
/// The same, the stretch grown to whole steps.
Axis whole_axis_over(const Stretch& stretch, int most_steps);
/// The same, grown to half steps.
Axis half_axis_over(const Stretch& stretch, int most_steps);

/// Pixels or columns that words take.
using WidthOf = double (*)(std::string_view);
/// Mixing, 1 day, 1 week, … as far as their names have room, `gap` apart, on so wide an axis.
Axis time_axis_over(const Stretch& stretch, double width, double gap, WidthOf width_of);

/// A curve without what cannot be drawn, its points by grams, its words harmless.
struct Drawable : Curve {
  explicit Drawable(const Curve& curve);
  explicit Drawable(const Course& course);

  Stretch grams, ph;     ///< what the axes have to show
  bool in_time = false;  ///< `grams` of points and marks are places on an axis of time

  /// "at 12 g", "after 7 days".
  std::string place_text(double grams) const;

  /// Whether there is neither a point nor a mark.
  bool is_blank() const { return points.empty() && readings.empty() && steps.empty(); }
  bool has_interval() const;
};

/// Whether a point says how sure it is.
inline bool has_interval(const CurvePoint& point) { return point.high > point.low; }

/// Words from outside as well-formed UTF-8, control characters made harmless, at most so many characters.
std::string harmless(std::string_view text, std::size_t most);
/// The first so many characters, "…" for the rest.
std::string shortened(std::string_view text, std::size_t most);

/// "aim 4.5 ± 0.2"; needs a target.
std::string aim_text(const Curve& curve);
/// "suits everything, 4.0 to 5.52"; needs a window.
std::string window_text(const Curve& curve);
/// "pH 6.2 at 12.5 g", the label before it.
std::string mark_text(const Drawable& curve, const CurveMark& mark);
/// All of it in sentences, for who does not see the picture.
std::string told(const Drawable& curve);

}  // namespace counterion::report
