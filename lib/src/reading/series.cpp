// SPDX-License-Identifier: MIT
#include <counterion/batch/moved_phase.hpp>
#include <counterion/reading/series.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

bool is_old(const BatchReading& reading) {
  return reading.age_days && *reading.age_days >= young_days;
}

/// Position of the first reading after which nothing was added.
std::size_t first_of_series(std::span<const BatchReading> readings) {
  for (std::size_t n = readings.size(); n > 0; --n)
    if (!readings[n - 1].added.empty()) return n - 1;
  return 0;
}

/// Judges the readings of one product one after the other.
class Series {
 public:
  Series(const Formula& formula, std::span<const BatchReading> readings, const Tables& tables,
         const Conditions& conditions, const Bench& bench, const std::vector<Stay>& storage)
      : formula_(formula),
        readings_(readings),
        tables_(tables),
        conditions_(conditions),
        bench_(bench),
        storage_(storage) {}

  std::optional<JudgedReading> judged(std::size_t n) const {
    auto before = of_the_batch_as_made(readings_.first(n));
    const auto known = calibrate(formula_, before, tables_, conditions_, bench_);
    if (!known.phase) return std::nullopt;
    const double reference = before.size() == 1 && is_old(before[0]) ? *before[0].age_days : 0;
    const auto changed = change(known, *readings_[n].age_days);
    const double shift = changed.change - (reference > 0 ? change(known, reference).change : 0);
    before.push_back(readings_[n]);
    before.back().age_days.reset();  // as it would read without going anywhere
    const auto light = calibrate(formula_, before, tables_, conditions_, bench_).readings.back();
    return in_light(n, light, shift, changed);
  }

 private:
  DriftPoint change(const Calibration& known, double days) const {
    return drift_of(known.formula, *known.phase, tables_, {storage_, {days}}).points.front();
  }
  JudgedReading in_light(std::size_t n, const ReadingInLight& light, double shift,
                         const DriftPoint& changed) const {
    JudgedReading judged{*readings_[n].age_days, light.ph, light.expected + shift, 0, 0, 0, true};
    const double below =
        std::hypot(light.expected - light.low, changed.change - changed.change_low);
    const double above =
        std::hypot(light.high - light.expected, changed.change_high - changed.change);
    judged.low = judged.expected - below, judged.high = judged.expected + above;
    const double off = judged.ph - judged.expected;
    judged.surprise = deviates_to_end * off / std::max(1e-9, off < 0 ? below : above);
    judged.as_expected = std::abs(judged.surprise) <= most_surprise_in_series;
    return judged;
  }

  const Formula& formula_;
  std::span<const BatchReading> readings_;
  const Tables& tables_;
  const Conditions& conditions_;
  const Bench& bench_;
  const std::vector<Stay>& storage_;
};

}  // namespace

std::vector<BatchReading> with_ages(std::vector<BatchReading> readings) {
  const auto aged = std::ranges::find_if(
      readings, [](const BatchReading& reading) { return reading.age_days.has_value(); });
  if (aged == readings.end()) return readings;
  for (auto reading = readings.begin(); reading != aged; ++reading) reading->age_days = 0;
  for (auto& reading : readings)
    if (reading.age_days && *reading.age_days >= 0)
      reading.age_days = std::max(*reading.age_days, first_reading_days);
  return readings;
}

std::vector<BatchReading> of_the_batch_as_made(std::span<const BatchReading> readings) {
  const std::size_t first = first_of_series(readings);
  std::vector<BatchReading> made;
  for (std::size_t n = 0; n < readings.size(); ++n)
    if (n <= first || !is_old(readings[n])) made.push_back(readings[n]);
  return made;
}

std::vector<JudgedReading> judge_series(const Formula& formula,
                                        std::span<const BatchReading> readings,
                                        const Tables& tables, const Conditions& conditions,
                                        const Bench& bench, const std::vector<Stay>& storage) {
  const auto aged = with_ages({readings.begin(), readings.end()});
  const Series series(formula, aged, tables, conditions, bench, storage);
  std::vector<JudgedReading> all;
  for (std::size_t n = first_of_series(aged) + 1; n < aged.size(); ++n)
    if (aged[n].age_days)
      if (const auto judged = series.judged(n)) all.push_back(*judged);
  return all;
}

}  // namespace counterion
