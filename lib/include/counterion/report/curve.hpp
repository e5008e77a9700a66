// SPDX-License-Identifier: MIT
// The titration curve of a batch, and the course of its pH in time: as a picture, and in characters.
#pragma once

#include <counterion/report/text.hpp>

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace counterion {

/// One point of a curve: so many grams of an adjuster, the pH to expect and its 90 % interval (none where `high`
/// is not above `low`).
struct CurvePoint {
  double grams = 0, ph = 0, low = 0, high = 0;
};

/// A pH at so many grams, and the few words that stand beside it.
struct CurveMark {
  double grams = 0, ph = 0;
  std::string label;
};

/// A curve and what is to be seen beside it. What is no number, grams outside 0 to 1e9 and pH outside -2 to 16
/// are left out; points may come in any order.
struct Curve {
  std::string title;               ///< "Muschelbach hand wash: Citric Acid (anhydrous), 20 % in water"
  std::string what;                ///< the axis: "g of Citric Acid (anhydrous), 20 % in water, for 2000 g"
  std::vector<CurvePoint> points;  ///< may be empty
  std::optional<double> target, tolerance;          ///< the pH to aim for, give or take so much
  std::optional<std::pair<double, double>> window;  ///< the pH that suits everything; an end may be infinite
  std::vector<CurveMark> readings;                  ///< taken
  std::vector<CurveMark> steps;                     ///< planned additions: where each is expected to end
};

/// The curve as one SVG element without scripts, ids or anything to fetch, for light and dark screens, with words
/// for screen readers; `width` 240 to 4000 and `height` 240 to 4000 pixels, more height where the words need it.
/// Same curve, same bytes. Drawn for 720 pixels the words are small on a phone: ask for 360.
std::string svg_of(const Curve& curve, int width = 720, int height = 440);

/// The curve in characters, a line each without its end: at most `style.width` columns, about 15 lines.
std::vector<std::string> sketch_of(const Curve& curve, const TextStyle& style = {});

/// The pH so many days after mixing, with its 90 % interval (none where `high` is not above `low`).
struct CoursePoint {
  double days = 0, ph = 0, low = 0, high = 0;
};

/// A pH so many days after mixing, and the few words that stand beside it.
struct CourseMark {
  double days = 0, ph = 0;
  std::string label;
};

/// Where the pH goes while a product is kept. What is no number, days below 0 or above 1e9 and pH outside -2 to 16
/// are left out; points may come in any order.
struct Course {
  std::string title;
  std::vector<CoursePoint> points;                  ///< may be empty
  std::optional<std::pair<double, double>> window;  ///< the pH that suits everything; an end may be infinite
  std::vector<CourseMark> readings;                 ///< taken
};

/// The same as for a curve, over an axis of time that gives the first day as much room as years: 1 day, 1 week,
/// 1 month, 1 year.
std::string svg_of(const Course& course, int width = 720, int height = 440);
std::vector<std::string> sketch_of(const Course& course, const TextStyle& style = {});

}  // namespace counterion
