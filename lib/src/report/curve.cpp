// SPDX-License-Identifier: MIT
#include "curve_layout.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <span>
#include <utility>

namespace counterion::report {
namespace {

constexpr double far_label = 11;

/// Every rule is kept to this class, so that the picture may stand inside a page and leave the page alone.
constexpr std::string_view style_sheet = R"(<style>
.counterion-curve{max-width:100%;height:auto;font-family:system-ui,"Segoe UI","DejaVu Sans",sans-serif;font-size:13px}
.counterion-curve text{fill:#1c2430;stroke:none}
.counterion-curve .title{font-size:15px;font-weight:600}
.counterion-curve .quiet{fill:#56606e}
.counterion-curve .ground{fill:#ffffff;stroke:none}
.counterion-curve .grid{stroke:#e1e6ec;stroke-width:1;fill:none}
.counterion-curve .axis{stroke:#56606e;stroke-width:1;fill:none}
.counterion-curve .leader{stroke:#1c2430;stroke-width:1;fill:none}
.counterion-curve .window{fill:#1f7a4d;fill-opacity:.13;stroke:none}
.counterion-curve .edge{stroke:#1f7a4d;stroke-width:1.5;stroke-dasharray:2 4;fill:none}
.counterion-curve .interval{fill:#0b5cad;fill-opacity:.2;stroke:none}
.counterion-curve .course{stroke:#0b5cad;stroke-width:2.5;stroke-linejoin:round;stroke-linecap:round;fill:none}
.counterion-curve .aim{stroke:#a04a00;stroke-width:2;stroke-dasharray:9 5;fill:none}
.counterion-curve .read{fill:#1c2430;stroke:#ffffff;stroke-width:1.5}
.counterion-curve .planned{fill:#ffffff;stroke:#0b5cad;stroke-width:2}
.counterion-curve .label{paint-order:stroke;stroke:#ffffff;stroke-width:3.5px;stroke-linejoin:round}
@media (prefers-color-scheme:dark){
.counterion-curve text{fill:#e8edf3}
.counterion-curve .quiet{fill:#a9b4c2}
.counterion-curve .ground{fill:#14181e}
.counterion-curve .grid{stroke:#2b333d}
.counterion-curve .axis{stroke:#a9b4c2}
.counterion-curve .leader{stroke:#e8edf3}
.counterion-curve .window{fill:#5fcf98}
.counterion-curve .edge{stroke:#5fcf98}
.counterion-curve .interval{fill:#7db7ff}
.counterion-curve .course{stroke:#7db7ff}
.counterion-curve .aim{stroke:#ffb066}
.counterion-curve .read{fill:#e8edf3;stroke:#14181e}
.counterion-curve .planned{fill:#14181e;stroke:#7db7ff}
.counterion-curve .label{stroke:#14181e}
}
</style>
)";

std::string escaped(std::string_view text) {
  std::string safe;
  for (const char c : text) switch (c) {
      case '&': safe += "&amp;"; break;
      case '<': safe += "&lt;"; break;
      case '>': safe += "&gt;"; break;
      case '"': safe += "&quot;"; break;
      case '\'': safe += "&#39;"; break;
      default: safe += c;
    }
  return safe;
}

/// Writes the picture, element after element.
class Painter {
 public:
  Painter(const Drawable& curve, const Layout& layout) : curve_(curve), layout_(layout) {}

  std::string paint() &&;

 private:
  template <class... Args>
  void put(fmt::format_string<Args...> format, Args&&... args) {
    fmt::format_to(std::back_inserter(svg_), format, std::forward<Args>(args)...);
  }
  void line(std::string_view kind, const Spot& from, const Spot& to) {
    put("<path class=\"{}\" d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\"/>\n", kind, from.x, from.y, to.x, to.y);
  }
  void rectangle(std::string_view kind, const Box& box) {
    put("<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"/>\n", kind, box.left,
        box.top, box.width(), box.height());
  }
  /// Words on a line at `y`; the anchor is "start", "middle" or "end".
  void words(std::string_view kind, const Spot& at, std::string_view anchor, std::string_view text) {
    put("<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>\n", kind, at.x, at.y, anchor,
        escaped(text));
  }
  void level(std::string_view kind, double ph) {
    const double y = layout_.y(ph);
    line(kind, {layout_.plot.left, y}, {layout_.plot.right, y});
  }
  void sign(Sign sign, const Spot& left);
  void dot(const Spot& at, std::string_view told);
  void diamond(const Spot& at, std::string_view told);
  void head();
  void legend();
  void window();
  void axes();
  void grams_ticks();
  void interval();
  void band(std::span<const CurvePoint> points);
  void course();
  void lone_point(const CurvePoint& point);
  void aim();
  void marks();
  void label(const Spot& spot, const Box& box, std::string_view text);
  void labels();
  std::vector<Spot> course_spots() const;
  std::vector<Spot> mark_spots() const;
  std::vector<double> level_heights() const;

  const Drawable& curve_;
  const Layout& layout_;
  std::string svg_;
};

void Painter::head() {
  put("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"counterion-curve\" role=\"img\" width=\"{0:.0f}\" "
      "height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} {1:.0f}\">\n", layout_.width, layout_.height);
  put("<title>{}</title>\n<desc>{}</desc>\n", escaped(curve_.title), escaped(told(curve_)));
  svg_ += style_sheet;
  rectangle("ground", {0, 0, layout_.width, layout_.height});
  double y = edge + title_size - 2;
  for (const auto& text : layout_.title) words("title", {edge, y}, "start", text), y += line_height + 2;
}

void Painter::dot(const Spot& at, std::string_view told) {
  put("<circle class=\"read\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"5\"><title>{}</title></circle>\n", at.x, at.y,
      escaped(told));
}

void Painter::diamond(const Spot& at, std::string_view told) {
  put("<path class=\"planned\" d=\"M{:.1f} {:.1f}l5.5 5.5l-5.5 5.5l-5.5 -5.5z\"><title>{}</title></path>\n", at.x,
      at.y - 5.5, escaped(told));
}

void Painter::sign(Sign sign, const Spot& left) {
  const double x = left.x, y = left.y;
  const Spot right{x + sign_width(sign), y}, middle{x + sign_width(sign) / 2, y};
  const Box box{x, y - 6, right.x, y + 6};
  switch (sign) {
    case Sign::course: line("course", {x + 1, y}, {right.x - 1, y}); break;
    case Sign::interval: rectangle("interval", box); break;
    case Sign::aim: line("aim", left, right); break;
    case Sign::read: dot(middle, "read"); break;
    case Sign::planned: diamond(middle, "planned"); break;
    case Sign::window:
      rectangle("window", box);
      line("edge", {x, box.top}, {right.x, box.top});
      line("edge", {x, box.bottom}, {right.x, box.bottom});
  }
}

void Painter::legend() {
  for (const auto& entry : layout_.legend) {
    sign(entry.sign, entry.spot);
    words("quiet", {entry.spot.x + sign_width(entry.sign) + 6, entry.spot.y + 4.5}, "start", entry.text);
  }
}

void Painter::window() {
  if (!curve_.window) return;
  const auto [low, high] = *curve_.window;
  const Stretch& shown = layout_.ph.stretch;
  if (low > shown.high || high < shown.low) return;
  rectangle("window", {layout_.plot.left, layout_.y(high), layout_.plot.right, layout_.y(low)});
  for (const double ph : {low, high})
    if (ph >= shown.low && ph <= shown.high) level("edge", ph);
}

void Painter::grams_ticks() {
  const Box& plot = layout_.plot;
  for (const double tick : layout_.grams.ticks()) {
    const double x = layout_.x(tick);
    line("grid", {x, plot.top}, {x, plot.bottom});
    line("axis", {x, plot.bottom}, {x, plot.bottom + 5});
    const std::string text = layout_.grams.text(tick);
    const double half = width_of(text, text_size) / 2;
    words("quiet", {std::min(x, layout_.width - edge / 2 - half), plot.bottom + 19}, "middle", text);
  }
}

void Painter::axes() {
  const Box& plot = layout_.plot;
  for (const double tick : layout_.ph.ticks()) {
    level("grid", tick);
    words("quiet", {plot.left - 8, layout_.y(tick) + 4.5}, "end", layout_.ph.text(tick));
  }
  grams_ticks();
  line("axis", {plot.left, plot.top}, {plot.left, plot.bottom});
  line("axis", {plot.left, plot.bottom}, {plot.right, plot.bottom});
  words("quiet", {plot.left - 8, plot.top - 14}, "end", "pH");
  double y = plot.bottom + 24 + line_height - 3;
  for (const auto& text : layout_.what) words("quiet", {plot.right, y}, "end", text), y += line_height;
}

/// The band over points that follow one another and all have an interval.
void Painter::band(std::span<const CurvePoint> points) {
  std::string path;
  const auto add = [&](double grams, double ph) {
    path += fmt::format("{}{:.1f} {:.1f}", path.empty() ? "M" : "L", layout_.x(grams), layout_.y(ph));
  };
  for (const auto& point : points) add(point.grams, point.high);
  for (auto point = points.rbegin(); point != points.rend(); ++point) add(point->grams, point->low);
  put("<path class=\"interval\" d=\"{}z\"/>\n", path);
}

void Painter::interval() {
  const std::span points(curve_.points);
  for (std::size_t from = 0, to = 0; from < points.size(); from = to + 1) {
    for (to = from; to < points.size() && has_interval(points[to]);) ++to;
    if (to - from > 1) band(points.subspan(from, to - from));
  }
}

std::vector<Spot> Painter::course_spots() const {
  std::vector<Spot> spots;
  for (const auto& point : curve_.points) spots.push_back(layout_.spot(point.grams, point.ph));
  return spots;
}

std::vector<Spot> Painter::mark_spots() const {
  std::vector<Spot> spots;
  for (const auto* marks : {&curve_.readings, &curve_.steps})
    for (const auto& mark : *marks) spots.push_back(layout_.spot(mark.grams, mark.ph));
  return spots;
}

/// Where the straight lines lie.
std::vector<double> Painter::level_heights() const {
  std::vector<double> heights;
  if (curve_.target) heights.push_back(layout_.y(*curve_.target));
  if (curve_.window) heights.insert(heights.end(), {layout_.y(curve_.window->first), layout_.y(curve_.window->second)});
  return heights;
}

void Painter::lone_point(const CurvePoint& point) {
  const Box& plot = layout_.plot;
  const double left = std::max(layout_.x(point.grams) - 8, plot.left), y = layout_.y(point.ph);
  const double right = std::min(layout_.x(point.grams) + 8, plot.right);
  if (has_interval(point)) rectangle("interval", {left, layout_.y(point.high), right, layout_.y(point.low)});
  line("course", {left, y}, {right, y});
}

void Painter::course() {
  if (curve_.points.size() == 1) return lone_point(curve_.points.front());
  std::string path, last;
  for (const auto& spot : course_spots()) {
    const std::string place = fmt::format("{:.1f} {:.1f}", spot.x, spot.y);
    if (place != last) path += (path.empty() ? "M" : "L") + place;
    last = place;
  }
  if (!path.empty()) put("<path class=\"course\" d=\"{}\"/>\n", path);
}

void Painter::aim() {
  if (curve_.target) level("aim", *curve_.target);
}

void Painter::marks() {
  for (const auto& mark : curve_.steps) diamond(layout_.spot(mark.grams, mark.ph), "planned: " + mark_text(curve_, mark));
  for (const auto& mark : curve_.readings) dot(layout_.spot(mark.grams, mark.ph), "read: " + mark_text(curve_, mark));
}

/// A label that does not lie close to its mark gets a line to it.
void Painter::label(const Spot& spot, const Box& box, std::string_view text) {
  const Spot nearest{std::clamp(spot.x, box.left, box.right), std::clamp(spot.y, box.top, box.bottom)};
  if (std::hypot(nearest.x - spot.x, nearest.y - spot.y) > far_label) line("leader", spot, nearest);
  words("label", {(box.left + box.right) / 2, box.bottom - 4}, "middle", text);
}

/// Where there is no room for a label, the mark's own title still says it.
void Painter::labels() {
  LabelRoom room(layout_.plot, course_spots(), mark_spots(), level_heights());
  for (const auto* marks : {&curve_.readings, &curve_.steps})
    for (const auto& mark : *marks) {
      const std::string text = mark.label.empty() ? ph_text(mark.ph) : shortened(mark.label, 28);
      const Spot spot = layout_.spot(mark.grams, mark.ph);
      Box box;
      if (room.find(spot, width_of(text, text_size), text_size + 3, box)) label(spot, box, text);
    }
}

std::string Painter::paint() && {
  head();
  legend();
  axes();
  if (curve_.is_blank()) {
    const Box& plot = layout_.plot;
    words("quiet", {(plot.left + plot.right) / 2, (plot.top + plot.bottom) / 2}, "middle", "no curve to draw");
  }
  window();
  interval();
  aim();
  course();
  labels();
  marks();
  svg_ += "</svg>\n";
  return std::move(svg_);
}

}  // namespace
}  // namespace counterion::report

namespace counterion {

namespace {

std::string picture(const report::Drawable& drawable, int width, int height) {
  const auto layout = report::layout_of(drawable, width, height);
  return report::Painter(drawable, layout).paint();
}

}  // namespace

std::string svg_of(const Curve& curve, int width, int height) {
  return picture(report::Drawable(curve), width, height);
}

std::string svg_of(const Course& course, int width, int height) {
  return picture(report::Drawable(course), width, height);
}

}  // namespace counterion
