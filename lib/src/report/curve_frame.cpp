// SPDX-License-Identifier: MIT
#include "curve_frame.hpp"

#include "batch_sections.hpp"
#include "page.hpp"
#include "words.hpp"

#include <counterion/text/utf8.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion::report {
namespace {

constexpr double most_grams = 1e9, least_grams = 1e-9, least_ph = -2, most_ph = 16, far_off = 2;
constexpr std::size_t longest_title = 160, longest_what = 160, longest_label = 40, most_told = 12;

/// The days after which an axis of time has gone as far as for every tenfold of them later on.
constexpr double first_stretch_days = 0.3;

/// Where a time lies on its axis: the first hours in proportion, then each tenfold as long as the one before.
double place_in_time(double days) { return std::log10(1 + days / first_stretch_days); }
double days_at(double place) { return first_stretch_days * (std::pow(10.0, place) - 1); }

constexpr std::array<std::pair<double, std::string_view>, 10> named_times{
    {{0, "mixing"}, {1, "1 day"}, {7, "1 week"}, {30.4, "1 month"}, {91.3, "3 months"}, {182.6, "6 months"},
     {365.25, "1 year"}, {730.5, "2 years"}, {1826.25, "5 years"}, {3652.5, "10 years"}}};

Curve over_time(const Course& course) {
  Curve curve;
  curve.title = course.title;
  curve.what = "after mixing";
  curve.window = course.window;
  for (const auto& point : course.points)
    curve.points.push_back({place_in_time(point.days), point.ph, point.low, point.high});
  for (const auto& mark : course.readings)
    curve.readings.push_back({place_in_time(mark.days), mark.ph, mark.label});
  return curve;
}

bool can_be_ph(double ph) { return ph >= least_ph && ph <= most_ph; }  // false for NaN

template <class Mark>
bool can_be_drawn(const Mark& mark) {
  return mark.grams >= 0 && mark.grams <= most_grams && can_be_ph(mark.ph);
}

template <class Mark>
void keep_drawable(std::vector<Mark>& marks) {
  std::erase_if(marks, [](const Mark& mark) { return !can_be_drawn(mark); });
  for (auto& mark : marks)
    if (mark.grams < least_grams) mark.grams = 0;
  std::ranges::stable_sort(marks, {}, &Mark::grams);
}

void tidy(CurvePoint& point) {
  if (!std::isfinite(point.low) || !std::isfinite(point.high)) point.low = point.high = point.ph;
  point.low = std::clamp(point.low, least_ph, most_ph);
  point.high = std::clamp(point.high, least_ph, most_ph);
}

void tidy(std::vector<CurveMark>& marks) {
  keep_drawable(marks);
  for (auto& mark : marks) mark.label = harmless(mark.label, longest_label);
}

void tidy_aim(Curve& curve) {
  if (curve.target && !can_be_ph(*curve.target)) curve.target.reset();
  if (curve.tolerance && !(*curve.tolerance > 0 && can_be_ph(*curve.tolerance))) curve.tolerance.reset();
  if (curve.window && !(curve.window->first <= curve.window->second)) curve.window.reset();
}

/// Grows to take in values.
struct Extent {
  std::optional<Stretch> taken;

  void take(double value) {
    if (!taken) taken = Stretch{value, value};
    taken = Stretch{std::min(taken->low, value), std::max(taken->high, value)};
  }
};

template <class Take>
void take_marks(const Curve& curve, Take take) {
  for (const auto* marks : {&curve.readings, &curve.steps})
    for (const auto& mark : *marks) take(mark);
}

/// From nothing, or from near the first amount where all lie far from nothing.
Stretch grams_of(const Curve& curve) {
  Extent extent;
  for (const auto& point : curve.points) extent.take(point.grams);
  take_marks(curve, [&](const CurveMark& mark) { extent.take(mark.grams); });
  const Stretch all = extent.taken.value_or(Stretch{0, 0});
  if (all.high == 0) return {0, 1};
  const bool far = all.low > all.high / 2 && all.length() > all.high * 1e-6;
  const double low = far ? all.low : 0;
  return {low, all.high + (all.high - low) * 0.03};
}

Stretch ph_of(const Curve& curve) {
  Extent extent;
  for (const auto& point : curve.points) {
    extent.take(point.ph);
    if (has_interval(point)) extent.take(point.low), extent.take(point.high);
  }
  take_marks(curve, [&](const CurveMark& mark) { extent.take(mark.ph); });
  if (curve.target) {
    extent.take(*curve.target - curve.tolerance.value_or(0));
    extent.take(*curve.target + curve.tolerance.value_or(0));
  }
  Stretch all = extent.taken.value_or(Stretch{4, 8});
  const Stretch near{all.low - far_off, all.high + far_off};
  if (curve.window)
    for (const double edge : {curve.window->first, curve.window->second})
      if (edge >= near.low && edge <= near.high) all = {std::min(all.low, edge), std::max(all.high, edge)};
  const double more = std::max(0.1, (1 - all.length()) / 2);
  return {all.low - more, all.high + more};
}

/// The round step that a stretch needs for at most so many.
double round_step(double length, int most_steps) {
  const double least = length / most_steps * (1 - 1e-9);
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double times : {1.0, 2.0, 5.0})
    if (times * power >= least) return times * power;
  return 10 * power;
}

/// The stretch with both ends at whole steps.
Stretch grown(const Stretch& stretch, double step) {
  return {std::floor(stretch.low / step + 1e-6) * step, std::ceil(stretch.high / step - 1e-6) * step};
}

std::string figures_of_aim(const Curve& curve) {
  return ph_text(*curve.target) + (curve.tolerance ? " ± " + ph_text(*curve.tolerance) : "");
}

std::string figures_of_window(const Curve& curve) {
  const auto if_finite = [](double ph) { return std::isfinite(ph) ? std::optional(ph) : std::nullopt; };
  return span_text(if_finite(curve.window->first), if_finite(curve.window->second));
}

std::string marks_told(std::string_view name, const Drawable& curve, const std::vector<CurveMark>& marks) {
  std::vector<std::string> texts;
  for (const auto& mark : marks) {
    if (texts.size() == most_told) break;
    texts.push_back(mark_text(curve, mark));
  }
  if (marks.size() > texts.size()) texts.push_back(fmt::format("{} more", marks.size() - texts.size()));
  return texts.empty() ? "" : fmt::format(" {}: {}.", name, fmt::join(texts, "; "));
}

std::string course_told(const Drawable& curve) {
  const auto& points = curve.points;
  if (points.empty()) return "There is no curve to draw.";
  const auto at = [&](const CurvePoint& p) { return ph_text(p.ph) + " " + curve.place_text(p.grams); };
  const auto& first = points.front();
  const auto& last = points.back();
  if (points.size() == 1) return "Expected pH " + at(first) + ".";
  const std::string_view goes = last.ph < first.ph ? "falls" : last.ph > first.ph ? "rises" : "goes";
  return fmt::format("The expected pH {} from {} to {}.", goes, at(first), at(last));
}

std::string interval_told(const CurvePoint& point) {
  if (!has_interval(point)) return {};
  return fmt::format(" There nine in ten lie at pH {}.", span_text(point.low, point.high));
}

bool is_control(char32_t c) { return c < 0x20 || (c >= 0x7F && c < 0xA0); }

/// Line ends, and marks that turn the direction of the words around them.
bool steers(char32_t c) {
  return (c >= 0x200E && c <= 0x200F) || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) ||
         c == 0xFEFF || c == 0xFFFE || c == 0xFFFF;
}

char32_t harmless_of(char32_t c) {
  if (c == U'\t' || c == U'\n' || c == U'\r' || c == static_cast<char32_t>(no_break)) return U' ';
  return is_control(c) || steers(c) ? U'?' : c;
}

/// Bytes that are no UTF-8 become '?'.
std::string well_formed(std::string_view text) {
  std::string shown(text);
  if (!text::is_utf8(text))
    std::replace_if(shown.begin(), shown.end(), [](char c) { return static_cast<unsigned char>(c) >= 0x80; }, '?');
  return shown;
}

}  // namespace

double Stretch::kept(double value) const { return std::clamp(value, low, high); }

std::vector<double> Axis::ticks() const {
  std::vector<double> ticks;
  for (const auto& tick : named) ticks.push_back(tick.at);
  if (!named.empty()) return ticks;
  const auto first = std::llround(std::ceil(stretch.low / step - 1e-6));
  const auto last = std::llround(std::floor(stretch.high / step + 1e-6));
  for (auto i = first; i <= last; ++i) ticks.push_back(static_cast<double>(i) * step);
  return ticks;
}

std::string Axis::text(double tick) const {
  const auto own = std::ranges::find(named, tick, &NamedTick::at);
  if (own != named.end()) return own->name;
  if (tick == 0) return "0";
  const double places = std::clamp(-std::floor(std::log10(step) + 1e-6), 0.0, 12.0);
  return fmt::format("{:.{}f}", tick, static_cast<int>(places));
}

Axis axis_over(const Stretch& stretch, int most_steps) {
  return {stretch, round_step(stretch.length(), std::max(most_steps, 1))};
}

Axis whole_axis_over(const Stretch& stretch, int most_steps) {
  const int most = std::max(most_steps, 2);
  double step = round_step(stretch.length(), most);
  while (grown(stretch, step).length() > step * (most + 0.5)) step = round_step(step * 1.5, 1);
  return {grown(stretch, step), step};
}

Axis half_axis_over(const Stretch& stretch, int most_steps) {
  const double step = axis_over(stretch, most_steps).step;
  return {grown(stretch, step / 2), step};
}

Axis time_axis_over(const Stretch& stretch, double width, double gap, WidthOf width_of) {
  std::vector<NamedTick> all;
  for (const auto& [days, name] : named_times)
    if (const double at = place_in_time(days); at >= stretch.low && at <= stretch.high)
      all.push_back({at, std::string(name)});
  Axis axis{stretch, 1, {}};
  if (all.empty()) return axis;
  const NamedTick last = all.back();
  const auto left = [&](const NamedTick& tick) { return stretch.share(tick.at) * width - width_of(tick.name) / 2; };
  const auto right = [&](const NamedTick& tick) { return left(tick) + width_of(tick.name) + gap; };
  for (const auto& tick : all) {
    const bool first = axis.named.empty();
    const bool fits = (first || left(tick) > right(axis.named.back())) && right(tick) < left(last);
    if (fits || tick.at == last.at) axis.named.push_back(tick);
  }
  return axis;
}

Drawable::Drawable(const Course& course) : Drawable(over_time(course)) { in_time = true; }

std::string Drawable::place_text(double at_grams) const {
  if (!in_time) return fmt::format("at {} g", amount_text(at_grams));
  const double days = days_at(at_grams);
  if (days < 1e-6) return "at mixing";
  std::string time = time_text(days);
  std::ranges::replace(time, no_break, ' ');
  return "after " + time;
}

Drawable::Drawable(const Curve& curve) : Curve(curve) {
  title = harmless(title, longest_title);
  what = harmless(what, longest_what);
  keep_drawable(points);
  for (auto& point : points) tidy(point);
  tidy(readings);
  tidy(steps);
  tidy_aim(*this);
  grams = grams_of(*this);
  ph = ph_of(*this);
}

bool Drawable::has_interval() const {
  return std::ranges::any_of(points, [](const CurvePoint& point) { return report::has_interval(point); });
}

std::string shortened(std::string_view text, std::size_t most) {
  if (columns_of(text) <= most) return std::string(text);
  std::string head;
  for (std::size_t taken = 1; taken < most; ++taken) text::append_code_point(head, text::take_code_point(text));
  return head + "…";
}

std::string harmless(std::string_view text, std::size_t most) {
  const std::string source = well_formed(text);
  std::string shown;
  for (std::string_view rest = source; !rest.empty();)
    text::append_code_point(shown, harmless_of(text::take_code_point(rest)));
  return shortened(text::trim(shown), most);
}

std::string aim_text(const Curve& curve) { return "aim " + figures_of_aim(curve); }

std::string window_text(const Curve& curve) { return "suits everything, " + figures_of_window(curve); }

std::string mark_text(const Drawable& curve, const CurveMark& mark) {
  const std::string place = fmt::format("pH {} {}", ph_text(mark.ph), curve.place_text(mark.grams));
  return mark.label.empty() ? place : mark.label + ", " + place;
}

std::string told(const Drawable& curve) {
  std::string text = course_told(curve);
  if (!curve.points.empty()) text += interval_told(curve.points.back());
  if (curve.target) text += " The aim: pH " + figures_of_aim(curve) + ".";
  if (curve.window) text += " What suits everything: pH " + figures_of_window(curve) + ".";
  return text + marks_told("Read", curve, curve.readings) + marks_told("Planned", curve, curve.steps);
}

}  // namespace counterion::report
