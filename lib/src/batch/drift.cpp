// SPDX-License-Identifier: MIT
#include <counterion/batch/drift.hpp>

#include "drift_untimed.hpp"
#include "reaction_course.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

using kinetics::Ends;
using kinetics::Moment;
using kinetics::Progress;
using kinetics::ReactingPhase;
using kinetics::ReactionCourse;

/// From here on quick changes are over; a reaction is quick when its half-life is shorter than
/// this.
constexpr double quick_is_over_days = 1, quick_half_life_days = 3;
constexpr double seconds_per_day = 86400;

void require_valid(const Stay& stay, std::vector<Problem>& problems) {
  if (!(stay.days >= 0) || !std::isfinite(stay.days))
    add_problem(problems, {}, fmt::format("kept for {} days", stay.days), "days, 0 or more");
  if (!(stay.celsius >= -20 && stay.celsius <= 80))
    add_problem(problems, {}, fmt::format("kept at {} °C", stay.celsius), "-20 to 80 °C");
}

void require_valid(const DriftOptions& options) {
  std::vector<Problem> problems;
  for (const auto& stay : options.storage) require_valid(stay, problems);
  for (const double day : options.days)
    if (!(day >= 0) || !std::isfinite(day))
      add_problem(problems, {}, fmt::format("looked at after {} days", day), "days, 0 or more");
  if (options.days.empty())
    add_problem(problems, {}, "no times to look at", "days in ascending order");
  if (!std::ranges::is_sorted(options.days))
    add_problem(problems, {}, "times in no order", "days in ascending order");
  if (!problems.empty()) throw BadInput(std::move(problems));
}

/// Where it matters: from the first day on, or at the last time where that is sooner.
bool counts(double days, double last) {
  return days >= std::min(quick_is_over_days, last);
}

struct Span {
  double low = 0, high = 0;
};
Span span_of(const std::vector<Moment>& course) {
  Span span{14, 0};
  const double last = course.back().days;
  for (const auto& moment : course)
    if (counts(moment.days, last))
      span = {std::min(span.low, moment.ph), std::max(span.high, moment.ph)};
  return span;
}

/// The middle course, and those with one reaction's numbers at the ends of their intervals.
class Courses {
 public:
  Courses(const ReactingPhase& phase, const DriftOptions& options)
      : phase_(phase),
        course_(phase, options.storage),
        days_(options.days),
        middle_(course_.run(days_)),
        asked_(asked_of(middle_)) {
    for (std::size_t i = 0; i < phase.reactions().size(); ++i) ends_.push_back(ends_of(i));
  }
  const std::vector<Moment>& middle() const { return middle_; }
  const std::vector<Moment>& asked() const { return asked_; }
  /// How far each extent may be off the middle at a time asked for.
  std::vector<Progress> progress_at(std::size_t time) const {
    std::vector<Progress> all;
    for (std::size_t i = 0; i < ends_.size(); ++i) {
      double below = 0, above = 0;
      for (const auto& pair : ends_[i]) {
        const double molality = phase_.reactions()[i].molality, middle = asked_[time].extents[i];
        const auto [low, high] = std::minmax(
            {pair.low[time].extents[i] - middle, pair.high[time].extents[i] - middle, 0.0});
        below = std::hypot(below, molality * low), above = std::hypot(above, molality * high);
      }
      all.push_back({-below, above});
    }
    return all;
  }
  /// How far the rates may move the pH at a time asked for, below and above the middle.
  Span ph_off_at(std::size_t time) const {
    Span off;
    for (const auto& pairs : ends_)
      for (const auto& pair : pairs) {
        const double middle = asked_[time].ph;
        const auto [low, high] =
            std::minmax({pair.low[time].ph - middle, pair.high[time].ph - middle, 0.0});
        off = {std::hypot(off.low, low), std::hypot(off.high, high)};
      }
    return off;
  }
  /// What a reaction does by itself from mixing to the last time, the others standing as built.
  double shift_of(std::size_t reaction) {
    std::vector<Ends> alone(ends_.size(), Ends{0, 0, true});
    alone[reaction].stands = false;
    auto fresh = phase_.built_extents();
    fresh[reaction] = 0;
    return course_.run(days_, alone).back().ph - course_.ph_at(fresh);
  }
  double first_rate(std::size_t reaction) { return course_.first_rate(reaction); }

 private:
  /// Courses with a number at its low and its high end.
  struct Pair {
    std::vector<Moment> low, high;
  };
  std::vector<Moment> with(std::size_t reaction, const Ends& at) {
    std::vector<Ends> ends(phase_.reactions().size());
    ends[reaction] = at;
    return asked_of(course_.run(days_, ends));
  }
  std::vector<Pair> ends_of(std::size_t reaction) {
    std::vector<Pair> pairs;
    pairs.push_back({with(reaction, {-1, 0}), with(reaction, {1, 0})});
    if (phase_.reactions()[reaction].acid)
      pairs.push_back({with(reaction, {0, -1}), with(reaction, {0, 1})});
    return pairs;
  }

  const ReactingPhase& phase_;
  ReactionCourse course_;
  const std::vector<double>& days_;
  std::vector<Moment> middle_, asked_;
  std::vector<std::vector<Pair>> ends_;
};

/// How the drivers move a pH: the shift that each end brings, in a straight line, and how much of
/// that is real where the pH does not follow in one.
std::vector<double> shifts_of(const WaterPhase& phase, const Prediction& prediction) {
  const ChargeAt at = charge_at(phase, prediction.ph);
  std::vector<double> shifts = at.slopes;
  for (double& shift : shifts) shift /= std::max(1e-12, at.capacity);
  const double straight =
      std::sqrt(std::inner_product(shifts.begin(), shifts.end(), shifts.begin(), 0.0));
  const double real = 0.5 * (prediction.p95 - prediction.p05);
  if (phase.learned.empty() && straight > real)
    for (double& shift : shifts) shift *= real / straight;
  return shifts;
}

/// Half width of a difference between two states of one phase: what moves both alike drops out.
double half_of_difference(const std::vector<double>& now, const std::vector<double>& before,
                          const WaterPhase& phase) {
  std::vector<double> apart(before.size());
  for (std::size_t d = 0; d < apart.size(); ++d) apart[d] = now[d] - before[d];
  double left = std::inner_product(apart.begin(), apart.end(), apart.begin(), 0.0);
  for (const auto& direction : phase.learned)
    left -= std::pow(std::inner_product(apart.begin(), apart.end(), direction.begin(), 0.0), 2);
  return std::sqrt(std::max(0.0, left));
}

/// The same of what may have left since, of which nothing was there before.
double half_of_escape(const std::vector<double>& now, const WaterPhase& phase, std::size_t before) {
  double square = 0;
  for (std::size_t d = before; d < now.size(); ++d)
    if (!phase.drivers[d].item) square += now[d] * now[d];
  return std::sqrt(square);
}

/// Writes a forecast.
class Forecaster {
 public:
  Forecaster(const Formula& formula, const WaterPhase& phase, const Tables& tables,
             const DriftOptions& options)
      : formula_(formula),
        tables_(tables),
        options_(options),
        phase_(formula, phase, tables),
        built_(predict(phase_.built(), 0)) {}

  Drift make() {
    if (phase_.reactions().empty())
      stay_flat();
    else
      follow();
    drift_.untimed = kinetics::untimed_changes(formula_, built_.ph, timed(), tables_);
    return std::move(drift_);
  }

 private:
  void stay_flat() {
    for (const double day : options_.days)
      drift_.points.push_back({day, built_.ph, built_.p05, built_.p95, 0, 0, 0});
    drift_.low = drift_.high = built_.ph;
  }
  void follow() {
    Courses courses(phase_, options_);
    const auto before = shifts_of(phase_.built(), built_);
    for (std::size_t time = 0; time < options_.days.size(); ++time)
      add_point(courses, time, before);
    const Span span = span_of(courses.middle());
    drift_.low = span.low, drift_.high = span.high;
    drift_.fall = std::max(0.0, built_.ph - span.low),
    drift_.rise = std::max(0.0, span.high - built_.ph);
    drift_.acid_mmol_per_kg = acid_in(phase_.at(courses.asked().back().extents));
    for (std::size_t i = 0; i < phase_.reactions().size(); ++i) add_cause(courses, i);
    std::ranges::stable_sort(drift_.causes, std::greater(),
                             [](const auto& one) { return std::abs(one.shift_ph); });
  }
  void add_point(const Courses& courses, std::size_t time, const std::vector<double>& before) {
    const auto& moment = courses.asked()[time];
    const WaterPhase now = phase_.at(moment.extents, courses.progress_at(time));
    const Prediction prediction = predict(now, 0);
    const auto shifts = shifts_of(now, prediction);
    const double common = std::hypot(half_of_difference(shifts, before, phase_.built()),
                                     half_of_escape(shifts, now, before.size()));
    const double change = prediction.ph - built_.ph;
    const Span rates = courses.ph_off_at(time);
    drift_.points.push_back({moment.days, prediction.ph, prediction.p05, prediction.p95, change,
                             change - std::hypot(common, rates.low),
                             change + std::hypot(common, rates.high)});
  }
  /// Strong acid per kg of product that would bring the phase as built to the same charge at its
  /// own pH.
  double acid_in(const WaterPhase& now) const {
    return -charge_at(now, built_.ph).charge * phase_.built().water_percent / 100 * 1000;
  }
  void add_cause(Courses& courses, std::size_t i) {
    const auto& one = phase_.reactions()[i];
    const auto& row = *one.reaction->row;
    const double half_life = std::log(2.0) / (courses.first_rate(i) * seconds_per_day);
    drift_.causes.push_back({one.turnover.item, in_words(one, formula_, tables_, one.turnover.item),
                             std::string(row.watch_for), courses.shift_of(i),
                             courses.asked().back().extents[i], half_life,
                             half_life < quick_half_life_days, std::string(row.provenance.source),
                             std::string(row.provenance.row_id)});
  }
  std::vector<std::pair<std::size_t, std::string>> timed() const {
    std::vector<std::pair<std::size_t, std::string>> all;
    for (const auto& one : phase_.reactions())
      all.emplace_back(one.turnover.item, std::string(one.reaction->row->acid_base_effect));
    return all;
  }

  const Formula& formula_;
  const Tables& tables_;
  const DriftOptions& options_;
  ReactingPhase phase_;
  Prediction built_;
  Drift drift_;
};

}  // namespace

Drift drift_of(const Formula& formula, const WaterPhase& phase, const Tables& tables,
               const DriftOptions& options) {
  require_valid(options);
  return Forecaster(formula, phase, tables, options).make();
}

ExpectedMove expected_move(const Formula& formula, const WaterPhase& phase, const Tables& tables,
                           const Stay& shelf) {
  if (!kinetics::reacts(formula, phase, tables)) return {};
  const DriftOptions options{{shelf}, {std::min(quick_is_over_days, shelf.days), shelf.days}};
  require_valid(options);
  const ReactingPhase reacting(formula, phase, tables);
  ReactionCourse course(reacting, options.storage);
  const double built = course.ph_at(reacting.built_extents());
  const auto moments = course.run(options.days);
  const double read = std::ranges::find(moments, true, &Moment::asked)->ph;
  const Span span = span_of(moments);
  return {std::max(0.0, std::max(built, read) - span.low),
          std::max(0.0, span.high - std::min(built, read))};
}

WaterPhase aged_phase(const Formula& formula, WaterPhase phase, const Tables& tables, double days,
                      double celsius) {
  const DriftOptions options{{{days, celsius}}, {days}};
  require_valid(options);
  const ReactingPhase reacting(formula, std::move(phase), tables);
  if (reacting.reactions().empty()) return reacting.built();
  const Courses courses(reacting, options);
  return reacting.at(courses.asked().back().extents, courses.progress_at(0));
}

namespace {

/// The first time, from that of the first point on, at which a line through the points leaves low
/// to high.
template <class Value>
std::optional<double> first_beyond(std::span<const DriftPoint> points, double low, double high,
                                   const Value& value) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double here = value(points[i]);
    if (here >= low && here <= high) continue;
    if (i == 0) return points[i].days;
    const double before = value(points[i - 1]), edge = here < low ? low : high;
    return std::lerp(points[i - 1].days, points[i].days,
                     std::clamp((edge - before) / (here - before), 0.0, 1.0));
  }
  return std::nullopt;
}

std::optional<double> earlier(const std::optional<double>& a, const std::optional<double>& b) {
  return a && b ? std::min(*a, *b) : a ? a : b;
}

}  // namespace

Leaves leaves(const Drift& drift, double low, double high) {
  if (drift.points.empty()) return {};
  const double last = drift.points.back().days;
  const auto first = std::ranges::find_if(
      drift.points, [&](const auto& point) { return counts(point.days, last); });
  const std::span<const DriftPoint> points(first, drift.points.end());
  return {first_beyond(points, low, high, [](const DriftPoint& point) { return point.ph; }),
          earlier(first_beyond(points, low, 14,
                               [](const DriftPoint& point) { return std::min(14.0, point.low); }),
                  first_beyond(points, 0, high,
                               [](const DriftPoint& point) { return std::max(0.0, point.high); }))};
}

}  // namespace counterion
