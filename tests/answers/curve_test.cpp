// SPDX-License-Identifier: MIT
// The two looks of a curve; the numbers are invented, near those of a hand wash.
#include <counterion/report/curve.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <limits>
#include <sstream>

using namespace counterion;

namespace {

constexpr double nan_ = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();

/// An alkaline wash under citric acid: steep, then flat near 6 and 4.7.
Curve hand_wash() {
  constexpr std::array<std::array<double, 4>, 14> rows{{
      {0, 11.9, 11.1, 12.4}, {2, 11.2, 9.8, 11.9}, {4, 9.7, 7.3, 11.4}, {5, 8.4, 6.9, 10.9}, {7, 7.1, 6.4, 9.2}, {9, 6.6, 6.1, 7.4}, {12, 6.2, 5.8, 6.7}, {16, 5.9, 5.4, 6.3},
      {20, 5.55, 5.1, 6.0}, {25, 5.1, 4.7, 5.6}, {30, 4.86, 4.5, 5.3}, {34, 4.67, 4.3, 5.1}, {38, 4.5, 4.1, 4.9},
      {44, 4.25, 3.9, 4.7}}};
  Curve curve;
  curve.title = "Muschelbach hand wash: Citric Acid (anhydrous), 20 % in water";
  curve.what = "g of Citric Acid (anhydrous), 20 % in water, for 2000 g";
  for (const auto& [grams, ph, low, high] : rows) curve.points.push_back({grams, ph, low, high});
  curve.target = 4.5;
  curve.tolerance = 0.2;
  curve.window = {4.0, 5.52};
  curve.readings = {{0, 11.7, "before"}, {20, 5.71, "first part"}};
  curve.steps = {{32, 4.76, "second part"}, {38, 4.5, "third part"}};
  return curve;
}

/// A straight line from one pH to another.
Curve straight(double grams, double from, double to) {
  Curve curve;
  for (int i = 0; i <= 20; ++i) {
    const double ph = from + (to - from) * i / 20;
    curve.points.push_back({grams * i / 20, ph, ph - 0.2, ph + 0.3});
  }
  return curve;
}

std::vector<Curve> all_kinds() {
  Curve marks_only = hand_wash(), one = hand_wash(), named = hand_wash(), open = straight(5000, 3.6, 8.2);
  marks_only.points.clear();
  one.points.resize(1);
  named.title = std::string(300, 'x') + "\x1b[31m\xE8 & <b>";
  named.what = "g of Huile d’amande, 10 °C, 小 ± ½";
  open.window = {5, inf};
  return {hand_wash(), Curve{}, marks_only, one, named, open, straight(0.01, 6, 5.9), straight(5000, 4, 9),
          straight(0, 7, 7), straight(1e9, -2, 16), straight(1e-300, 5, 6)};
}

std::size_t columns_of(const std::string& line) {
  return static_cast<std::size_t>(
      std::count_if(line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string text_of(const std::vector<std::string>& lines) {
  std::string text;
  for (const auto& line : lines) text += line + '\n';
  return text;
}

std::string without_colour(std::string text) {
  for (auto at = text.find('\x1b'); at != std::string::npos; at = text.find('\x1b', at))
    text.erase(at, text.find('m', at) - at + 1);
  return text;
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

/// Whether every '&' of XML text opens one of the five entities that svg_of writes.
bool entities_are_known(const std::string& xml) {
  for (auto at = xml.find('&'); at != std::string::npos; at = xml.find('&', at + 1)) {
    const std::string entity = xml.substr(at, xml.find(';', at) - at + 1);
    constexpr std::array known{"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    if (std::ranges::find(known, entity) == known.end()) return false;
  }
  return true;
}

/// Whether elements open and close in turn, attributes are quoted and no '<' or '>' stands anywhere else.
bool is_well_formed(const std::string& xml) {
  std::vector<std::string> open;
  std::size_t at = 0;
  for (; (at = xml.find('<', at)) != std::string::npos;) {
    const auto end = xml.find('>', at);
    if (end == std::string::npos || xml.substr(at + 1, end - at - 1).find('<') != std::string::npos) return false;
    const std::string tag = xml.substr(at + 1, end - at - 1), name = tag.substr(0, tag.find_first_of(" /", 1));
    if (count_of(tag, "\"") % 2 != 0) return false;
    if (tag.starts_with('/')) {
      if (open.empty() || tag != "/" + open.back()) return false;
      open.pop_back();
    } else if (!tag.ends_with('/')) {
      open.push_back(name);
    }
    at = end;
  }
  return open.empty() && count_of(xml, "<") == count_of(xml, ">") && entities_are_known(xml);
}

/// The numbers of every attribute of this name.
std::vector<double> numbers_of(const std::string& svg, const std::string& attribute) {
  std::vector<double> numbers;
  const std::string opening = " " + attribute + "=\"";
  for (auto at = svg.find(opening); at != std::string::npos; at = svg.find(opening, at + 1)) {
    const auto begin = at + opening.size();
    std::string text = svg.substr(begin, svg.find('"', begin) - begin);
    std::replace_if(text.begin(), text.end(), [](char c) { return c == 'M' || c == 'L' || c == 'z'; }, ' ');
    std::istringstream stream(text.substr(0, text.find('l')));  // a diamond's sides are relative to its top
    for (double number = 0; stream >> number;) numbers.push_back(number);
  }
  return numbers;
}

/// Numbers at even places across, at odd places down.
bool lie_inside(const std::vector<double>& path, double width, double height) {
  for (std::size_t i = 0; i < path.size(); ++i)
    if (path[i] < 0 || path[i] > (i % 2 ? height : width)) return false;
  return true;
}

double first_of(const std::string& svg, const std::string& attribute) { return numbers_of(svg, attribute).at(0); }

/// The row of a sketch that has this pH beside it; empty for none.
std::string row_beside(const std::vector<std::string>& lines, const std::string& ph) {
  const auto beside = [&](const std::string& line) { return line.find(" " + ph + " ┤") != std::string::npos; };
  const auto row = std::ranges::find_if(lines, beside);
  return row == lines.end() ? "" : *row;
}

std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

void check_approved(const std::string& name, const std::string& text) {
  const std::string path = std::string(COUNTERION_SOURCE_DIR) + "/tests/answers/golden/" + name;
  if (std::getenv("COUNTERION_REGENERATE")) std::ofstream(path, std::ios::binary) << text;
  CHECK(text == contents_of(path));
}

}  // namespace

TEST_CASE("a curve's SVG is well-formed, whatever the curve") {
  for (const auto& curve : all_kinds())
    for (const int width : {-5, 240, 360, 720, 100000}) {
      const std::string svg = svg_of(curve, width, 300);
      CAPTURE(svg);
      CHECK(is_well_formed(svg));
      CHECK(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
      CHECK(svg.find("nan") == std::string::npos);
      CHECK(svg.find("inf") == std::string::npos);
    }
}

TEST_CASE("everything that a curve's SVG draws lies inside its frame") {
  for (const auto& curve : all_kinds())
    for (const int width : {240, 360, 720}) {
      const std::string svg = svg_of(curve, width, 400);
      const double wide = first_of(svg, "width"), high = first_of(svg, "height");
      CHECK(wide == width);
      CHECK(high >= 400);
      CHECK(lie_inside(numbers_of(svg, "d"), wide, high));
      for (const auto& [attribute, most] : {std::pair("x", wide), {"y", high}, {"cx", wide}, {"cy", high}})
        for (const double at : numbers_of(svg, attribute)) CHECK((at >= 0 && at <= most));
    }
}

TEST_CASE("names in a curve's SVG are words, never elements") {
  for (const std::string name : {"<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "]]>", "&lt;", "'/><a",
                                 "<!-- -->", "</title></svg>", "\x1b]0;x\x07", "a\nb\tc", "\xC2\x9B" "31m"}) {
    Curve curve = hand_wash();
    curve.title = curve.what = curve.readings[0].label = curve.steps[0].label = name;
    const std::string svg = svg_of(curve);
    CAPTURE(svg);
    CHECK(is_well_formed(svg));
    for (const std::string element : {"<script", "<img", "<a", "<!--"}) CHECK(svg.find(element) == std::string::npos);
    CHECK(count_of(svg, "</svg>") == 1);
    CHECK(std::none_of(svg.begin(), svg.end(), [](char c) { return c != '\n' && c >= 0 && c < 0x20; }));
    CHECK(svg.find("\xC2\x9B") == std::string::npos);
  }
}

TEST_CASE("a curve's SVG tells in words what it shows") {
  const std::string svg = svg_of(hand_wash());
  CHECK(svg.find("<title>Muschelbach hand wash: Citric Acid (anhydrous), 20 % in water</title>") != std::string::npos);
  CHECK(svg.find("The expected pH falls from 11.9 at 0 g to 4.25 at 44.0 g.") != std::string::npos);
  CHECK(svg.find("The aim: pH 4.5 ± 0.2. What suits everything: pH 4.0 to 5.52.") != std::string::npos);
  CHECK(svg.find("Read: before, pH 11.7 at 0 g; first part, pH 5.71 at 20.0 g.") != std::string::npos);
  CHECK(svg.find("Planned: second part, pH 4.76 at 32.0 g; third part, pH 4.5 at 38.0 g.") != std::string::npos);
  CHECK(svg_of(straight(5, 4, 9)).find("rises from 4.0 at 0 g to 9.0 at 5.00 g") != std::string::npos);
  CHECK(svg_of(Curve{}).find("There is no curve to draw.") != std::string::npos);
}

TEST_CASE("a curve's SVG stands alone: no script, nothing to fetch, no id, light and dark") {
  const std::string svg = svg_of(hand_wash());
  for (const std::string absent : {"<script", "href", "url(", "@import", "@font-face", " id=", " on"})
    CHECK_MESSAGE(svg.find(absent) == std::string::npos, absent);
  CHECK(count_of(svg, "http") == 1);
  CHECK(svg.find("@media (prefers-color-scheme:dark)") != std::string::npos);
  CHECK(svg == svg_of(hand_wash()));
}

TEST_CASE("a curve is drawn without the points that are no numbers") {
  Curve spoilt = hand_wash();
  for (const double bad : {nan_, inf, -inf, 1e300})
    for (const CurvePoint point : {CurvePoint{bad, 6, 5, 7}, CurvePoint{13, bad, 5, 7}}) spoilt.points.push_back(point);
  spoilt.readings.push_back({nan_, 5, "lost"});
  spoilt.steps.push_back({3, inf, "lost"});
  CHECK(svg_of(spoilt) == svg_of(hand_wash()));
  CHECK(sketch_of(spoilt) == sketch_of(hand_wash()));
  std::reverse(spoilt.points.begin(), spoilt.points.end());
  CHECK(sketch_of(spoilt) == sketch_of(hand_wash()));
}

TEST_CASE("a point without an interval leaves a gap in the band, not in the curve") {
  Curve curve = hand_wash();
  const auto bands = [](const Curve& c) { return count_of(svg_of(c), "<path class=\"interval\""); };
  CHECK(bands(curve) == 1);
  curve.points[6].low = nan_;
  CHECK(bands(curve) == 2);
  CHECK(count_of(svg_of(curve), "<path class=\"course\"") == 2);  // the legend's, and the curve
}

TEST_CASE("bad aims and windows are not drawn") {
  Curve curve = straight(10, 5, 6);
  const std::string plain = svg_of(curve);
  curve.target = nan_;
  curve.tolerance = -1;
  curve.window = {7, 3};
  CHECK(svg_of(curve) == plain);
  curve.window = {nan_, 3};
  CHECK(svg_of(curve) == plain);
}

TEST_CASE("a window far from the curve does not flatten it") {
  Curve curve = straight(10, 5, 6);
  curve.window = {0, 14};
  const auto lines = sketch_of(curve);
  CHECK(row_beside(lines, "14.0").empty());
  CHECK_FALSE(row_beside(lines, "5.0").empty());
  CHECK(text_of(lines).find("suits everything, 0.0 to 14.0") != std::string::npos);
}

TEST_CASE("a sketch is never wider than asked, nor longer than a screen") {
  for (const auto& curve : all_kinds())
    for (const int width : {40, 41, 57, 80, 132, 400})
      for (const bool utf8 : {true, false}) {
        const auto lines = sketch_of(curve, {.width = width, .colour = false, .utf8 = utf8, .all = false});
        CHECK(lines.size() <= (width >= 80 ? 22u : 30u));
        for (const auto& line : lines) {
          CAPTURE(line);
          CHECK(columns_of(line) <= static_cast<std::size_t>(width));
          CHECK_FALSE(line.ends_with(' '));
        }
      }
}

TEST_CASE("without UTF-8 a sketch is ASCII") {
  for (const auto& curve : all_kinds())
    for (const auto& line : sketch_of(curve, {.width = 80, .colour = false, .utf8 = false, .all = false}))
      CHECK_MESSAGE(std::ranges::all_of(line, [](char c) { return c >= 0x20 && c < 0x7F; }), line);
}

TEST_CASE("colour adds nothing to a sketch but colour") {
  for (const auto& curve : all_kinds()) {
    const auto coloured = text_of(sketch_of(curve, {.width = 80, .colour = true, .utf8 = true, .all = false}));
    CHECK(without_colour(coloured) == text_of(sketch_of(curve)));
  }
}

TEST_CASE("a curve without points says so") {
  CHECK(text_of(sketch_of(Curve{})) == "  There is no curve to draw.\n");
  CHECK(svg_of(Curve{}).find(">no curve to draw</text>") != std::string::npos);
}

TEST_CASE("a lone point is drawn as a point") {
  Curve curve;
  curve.points = {{12, 5.5, 5.1, 6.0}};
  CHECK(count_of(text_of(sketch_of(curve)), "×") == 2);  // the point, and the legend's
  CHECK(svg_of(curve).find("<path class=\"course\"") != std::string::npos);
}

TEST_CASE("the curve stays on its side of the aim though both share a row") {
  for (const auto& [ph, glyph] : {std::pair(6.1, "▔"), {5.8, "─"}, {5.55, "▁"}}) {
    Curve curve = straight(10, ph, ph);
    curve.points.push_back({20, 12, 12, 12});
    curve.target = 5.8;
    CHECK(row_beside(sketch_of(curve), "5.8").find(glyph) != std::string::npos);
  }
}

TEST_CASE("where the aim and an edge of the window share a row, both are seen") {
  const auto row = row_beside(sketch_of(hand_wash()), "4.5");
  CHECK(row.find("━╌") != std::string::npos);
  CHECK(row.find("╌━") != std::string::npos);
}

TEST_CASE("ticks are round numbers") {
  const auto has = [](const Curve& curve, const std::string& text) {
    return svg_of(curve).find(">" + text + "</text>") != std::string::npos;
  };
  for (const std::string tick : {"0", "0.002", "0.010"}) CHECK_MESSAGE(has(straight(0.01, 6, 5), tick), tick);
  for (const std::string tick : {"0", "500", "5000"}) CHECK_MESSAGE(has(straight(5000, 6, 5), tick), tick);
  for (const std::string tick : {"4", "8", "12"}) CHECK_MESSAGE(has(hand_wash(), tick), tick);
}

TEST_CASE("the sketch of a hand wash is the one that was approved") {
  check_approved("curve.sketch", text_of(sketch_of(hand_wash())));
  const TextStyle plain{.width = 60, .colour = false, .utf8 = false, .all = false};
  check_approved("curve-ascii.sketch", text_of(sketch_of(hand_wash(), plain)));
}

TEST_CASE("the picture of a hand wash is the one that was approved") {
  check_approved("curve.svg", svg_of(hand_wash()));
}

namespace {

/// Where a lotion with a lactone goes.
Course lotion() {
  Course course;
  course.title = "Lotion: its pH while it is kept";
  course.points = {{0, 4.9, 4.6, 5.2}, {0.15, 4.5, 4.2, 4.8}, {1, 4.3, 4.0, 4.6}, {7, 4.3, 4.0, 4.6}, {91.3, 4.35, 4.0, 4.7}, {730.5, 4.6, 4.1, 5.2}};
  course.window = {4.0, 5.0};
  course.readings = {{1, 4.4, ""}, {30.4, 4.5, "a strip"}};
  return course;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const auto& line : lines) text += line + "\n";
  return text;
}

double place_of(const std::string& svg, const std::string& word) {
  const auto at = svg.find(">" + word + "</text>");
  if (at == std::string::npos) return nan_;
  return std::stod(svg.substr(svg.rfind(" x=\"", at) + 4));
}

}  // namespace

TEST_CASE("a course stands over an axis of time that gives the first day as much room as years") {
  const auto svg = svg_of(lotion());
  const double mixing = place_of(svg, "mixing"), day = place_of(svg, "1 day"), week = place_of(svg, "1 week"), month = place_of(svg, "1 month"),
               last = place_of(svg, "2 years");
  CHECK(mixing < day);
  CHECK(day < week);
  CHECK(week < month);
  CHECK(month < last);
  CHECK(day - mixing > (last - mixing) / 10);
  CHECK(svg.find("pH 4.5 after 1 month") != std::string::npos);
  CHECK(svg.find(" g<") == std::string::npos);
  CHECK(svg.find("falls from 4.9 at mixing to 4.6 after 2 years") != std::string::npos);
}

TEST_CASE("names of times never touch one another, on a phone either") {
  for (const int width : {240, 360, 720, 2000}) {
    CAPTURE(width);
    const auto svg = svg_of(lotion(), width);
    CHECK(std::isfinite(place_of(svg, "2 years")));
    double before = -100;
    for (const auto* word : {"mixing", "1 day", "1 week", "1 month", "3 months", "6 months", "1 year", "2 years"}) {
      const double x = place_of(svg, word);
      if (!std::isfinite(x)) continue;
      CHECK(x - before > 36);
      before = x;
    }
  }
}

TEST_CASE("the sketch of a course names its times") {
  TextStyle style;
  style.width = 80;
  const auto text = joined(sketch_of(lotion(), style));
  for (const auto* word : {"mixing", "1 day", "1 week", "1 month", "2 years", "after mixing", "read"})
    CHECK(text.find(word) != std::string::npos);
  for (const auto& line : sketch_of(lotion(), style)) CHECK(line.size() < 400);
}

TEST_CASE("a course without points, or with what is no number, is drawn all the same") {
  Course odd = lotion();
  odd.points.push_back({nan_, 4, 4, 4});
  odd.points.push_back({-5, 4, 4, 4});
  odd.points.push_back({inf, 4, 4, 4});
  CHECK(svg_of(odd) == svg_of(lotion()));
  CHECK(svg_of(Course{}).find("no curve to draw") != std::string::npos);
  CHECK_FALSE(sketch_of(Course{}).empty());
}
