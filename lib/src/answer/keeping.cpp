// SPDX-License-Identifier: MIT
#include "keeping.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace counterion {
namespace {

constexpr double month_days = 30.4, year_days = 365.25, two_years_days = 730.5, shelf_celsius = 25;
/// So much warmer than the shelf a stay is one in the warm.
constexpr double warmer_by_celsius = 5;

double days_of(const std::vector<Stay>& storage) {
  double days = 0;
  for (const auto& stay : storage) days += stay.days;
  return days;
}

std::vector<Stay> storage_of(const BatchOptions& options) {
  auto storage = options.storage;
  if (storage.empty()) storage.push_back({0, shelf_celsius});
  if (storage.back().days == 0)
    storage.back().days = std::max(two_years_days - days_of(storage), year_days);
  return storage;
}

/// Dense enough for a picture and for dates, with the days that people name among them.
std::vector<double> days_over(const std::vector<Stay>& storage) {
  constexpr std::array usual{0.0,    0.05,  0.15,  0.4,   1.0,   2.0,     4.0,    7.0,    14.0,
                             30.4,   45.0,  60.9,  91.3,  121.8, 152.2,   182.6,  243.5,  304.4,
                             365.25, 456.6, 547.9, 639.2, 730.5, 1095.75, 1461.0, 1826.25};
  const double last = days_of(storage);
  const auto is_sound = [](const Stay& stay) { return stay.days >= 0 && std::isfinite(stay.days); };
  if (!std::ranges::all_of(storage, is_sound)) return {0};  // the forecast refuses the storage
  std::vector<double> days;
  for (const double day : usual)
    if (day < last * 0.999) days.push_back(day);
  double end = 0;
  for (const auto& stay : storage) days.push_back(end += stay.days);
  std::ranges::sort(days);
  days.erase(std::unique(days.begin(), days.end()), days.end());
  return days;
}

/// A point of the forecast between those that were asked for.
DriftPoint point_at(const Drift& drift, double days) {
  const auto after = std::ranges::lower_bound(drift.points, days, {}, &DriftPoint::days);
  if (after == drift.points.end()) return drift.points.back();
  if (after == drift.points.begin() || after->days == days) return *after;
  const auto& before = *std::prev(after);
  const double share = (days - before.days) / (after->days - before.days);
  const auto between = [&](double DriftPoint::*value) {
    return std::lerp(before.*value, (*after).*value, share);
  };
  return {days,
          between(&DriftPoint::ph),
          between(&DriftPoint::low),
          between(&DriftPoint::high),
          between(&DriftPoint::change),
          between(&DriftPoint::change_low),
          between(&DriftPoint::change_high)};
}

/// Answers for one product.
class Keeper {
 public:
  Keeper(const Kept& kept, const BatchOptions& options, const Tables& tables)
      : kept_(kept), options_(options), tables_(tables) {}

  Keeping make() {
    keeping_.storage = storage_of(options_);
    const auto days = options_.days.empty() ? days_over(keeping_.storage) : options_.days;
    keeping_.drift = drift_of(kept_.formula, kept_.phase, tables_, {keeping_.storage, days});
    keeping_.leaves = leaves_window();
    keeping_.follow_ups = follow_ups();
    if (kept_.seek_buffers && is_to_be_held()) keeping_.buffers = buffers();
    for (const auto& stay : keeping_.storage) add_if_warm(stay);
    keeping_.air_ph = air_ph();
    return std::move(keeping_);
  }

 private:
  const Drift& drift() const { return keeping_.drift; }
  bool something_happens() const { return !drift().causes.empty() || !drift().untimed.empty(); }

  /// None where the middle is outside as soon as quick changes are over: it has to be adjusted
  /// first.
  std::optional<Leaves> leaves_window() const {
    const Window& window = kept_.check.window;
    if (!window.feasible) return std::nullopt;
    const double ph = ph_of(kept_.phase);
    if (ph < window.low || ph > window.high) return std::nullopt;
    return leaves(drift(), window.low, window.high);
  }
  /// After a day, a week, a month, and before it is expected to leave: at half of that time, or
  /// where only its interval leaves, then.
  std::vector<FollowUp> follow_ups() const {
    std::vector<FollowUp> all;
    if (!something_happens()) return all;
    std::vector<double> days{1, 7, month_days};
    if (const auto& left = keeping_.leaves) {
      if (left->middle_days)
        days.push_back(0.5 * *left->middle_days);
      else if (left->earliest_days)
        days.push_back(*left->earliest_days);
    }
    std::ranges::sort(days);
    for (const double day : days)
      if (day >= 1 && day <= drift().points.back().days && is_apart(all, day))
        all.push_back(follow_up(day));
    return all;
  }
  static bool is_apart(const std::vector<FollowUp>& all, double day) {
    return all.empty() || day > 1.5 * all.back().days;
  }
  FollowUp follow_up(double day) const {
    const auto point = point_at(drift(), day);
    const double meter = kept_.is_read ? 0 : options_.meter_ph;
    return {day, point.ph, point.ph - std::hypot(point.ph - point.low, meter),
            point.ph + std::hypot(point.high - point.ph, meter)};
  }

  bool is_to_be_held() const {
    const bool moves = drift().fall > most_drift_ph || drift().rise > most_drift_ph;
    return drift().acid_mmol_per_kg != 0 &&
           (moves || (keeping_.leaves && keeping_.leaves->middle_days));
  }
  std::optional<Buffers> buffers() const {
    constexpr double most_load = 1000;
    constexpr std::size_t best = 2;
    const double acid = std::clamp(drift().acid_mmol_per_kg, -most_load, most_load);
    const BufferAim aim{kept_.hold_ph, std::max(0.0, acid), std::max(0.0, -acid), most_drift_ph};
    if (!(aim.ph > 0 && aim.ph < 14)) return std::nullopt;
    auto buffers = buffers_for(kept_.formula, kept_.phase, aim, tables_, {options_.jurisdiction});
    if (buffers.pairs.size() > best) buffers.pairs.resize(best);
    return buffers;
  }

  void add_if_warm(const Stay& stay) {
    if (stay.celsius < shelf_celsius + warmer_by_celsius) return;
    auto times = on_the_shelf(kept_.formula, kept_.phase, tables_, stay, shelf_celsius);
    if (!times.empty()) keeping_.warm_stays.push_back({stay, std::move(times)});
  }
  double air_ph() const {
    const auto& drivers = kept_.phase.drivers;
    const auto air =
        std::ranges::find(drivers, DriverKind::carbon_dioxide, &Driver::kind) - drivers.begin();
    if (air == std::ssize(drivers)) return 0;
    const auto at = charge_at(kept_.phase, ph_of(kept_.phase));
    return std::abs(at.slopes[static_cast<std::size_t>(air)]) / std::max(1e-9, at.capacity);
  }

  const Kept& kept_;
  const BatchOptions& options_;
  const Tables& tables_;
  Keeping keeping_;
};

}  // namespace

Keeping keeping_of(const Kept& kept, const BatchOptions& options, const Tables& tables) {
  return Keeper(kept, options, tables).make();
}

}  // namespace counterion
