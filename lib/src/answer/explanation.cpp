// SPDX-License-Identifier: MIT
#include <counterion/answer/explanation.hpp>
#include <counterion/batch/drift.hpp>
#include <counterion/batch/moved_phase.hpp>

#include "explanation_mends.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace counterion {
namespace {

Conditions conditions_of(const CheckOptions& options) {
  Conditions conditions;
  conditions.temperature = options.temperature;
  conditions.activity = options.activity;
  return conditions;
}

std::vector<Portion> portions_of(std::span<const BatchReading> readings) {
  std::vector<Portion> all;
  for (const auto& reading : readings)
    all.insert(all.end(), reading.added.begin(), reading.added.end());
  return all;
}

double repeatability(const Tables& tables) {
  for (const auto& row : tables.levels_of("batch"))
    if (row.kind == "reading-repeatability" && row.rank == 1) return row.value;
  return 0;
}

/// 90 % half width of what the tools do to a reading; what the product itself does, such as taking
/// up carbon dioxide, is in what is expected of it.
double half_of_tools(const MeasurementQuality& quality, const Tables& tables) {
  std::set<std::string_view> rows;
  for (const auto& row : tables.levels_of("measurement")) rows.insert(row.provenance.row_id);
  double squares = 0;
  for (const auto& effect : quality.effects)
    if (rows.contains(effect.row_id)) squares += effect.half_ph * effect.half_ph;
  return std::sqrt(squares);
}

/// What a meter would have shown, were its scale right and had it known the sample's temperature.
double by_a_right_meter(const WaterPhase& phase, double shown, const Measuring& measuring,
                        const Tables& tables) {
  if (measuring.method == Method::strip) return shown;
  double ph = shown;
  if (!measuring.buffers.empty()) {
    Measuring scale;
    scale.method = measuring.method, scale.buffers = measuring.buffers;
    ph = quality_of(phase, shown, scale, tables).corrected_ph;
  }
  if (!measuring.compensates_temperature && measuring.sample_celsius)
    ph = shown_without_compensation(ph, measuring.calibrated_celsius.value_or(25),
                                    *measuring.sample_celsius);
  return std::clamp(ph, 0.0, 14.0);
}

/// Puts one explanation together.
class Explainer {
 public:
  Explainer(const Formula& formula, const Tables& tables, const ExplainOptions& options)
      : tables_(tables),
        conditions_(conditions_of(options)),
        explanation_{
            check(formula, tables, asked(options)), options, 0, {}, {}, {}, {}, {}, {}, {}, {}} {
    if (explanation_.options.readings.empty()) refuse_nothing();
    explanation_.options.taken.resize(explanation_.options.readings.size());
    set_aside();
  }

  Explanation make() {
    const auto phase = water_phase_of(
        with_portions(formula(), portions_of(taken_readings()), tables_), tables_, conditions_);
    if (!phase) return std::move(explanation_);
    correct_readings(*phase);
    see_circumstances();
    const auto learned =
        calibrate(formula(), readings_, tables_, conditions_, circumstances_.bench);
    explanation_.readings = learned.readings;
    measure();
    resolve_findings();
    explanation_.explained = explained();
    if (!explanation_.explained.causes.empty()) add_mends(explanation_, readings_, learned);
    see_change();
    learn_lots(learned);
    return std::move(explanation_);
  }

 private:
  static CheckOptions asked(const ExplainOptions& options) {
    CheckOptions asked = options;
    asked.remedies = false;
    return asked;
  }
  [[noreturn]] static void refuse_nothing() {
    std::vector<Problem> problems;
    add_problem(problems, {}, "no reading", "the pH that was read, such as 5.2");
    throw BadInput(std::move(problems));
  }
  /// Hundreds of readings say no more than some, and take minutes.
  void set_aside() {
    auto& readings = explanation_.options.readings;
    auto& taken = explanation_.options.taken;
    if (readings.size() <= most_readings) return;
    explanation_.set_aside = readings.size() - most_readings;
    const auto end = static_cast<std::ptrdiff_t>(1 + explanation_.set_aside);
    std::vector<Portion> between;
    for (auto reading = readings.begin() + 1; reading != readings.begin() + end; ++reading)
      between.insert(between.end(), reading->added.begin(), reading->added.end());
    auto& next = readings[static_cast<std::size_t>(end)].added;
    next.insert(next.begin(), between.begin(), between.end());
    readings.erase(readings.begin() + 1, readings.begin() + end);
    taken.erase(taken.begin() + 1, taken.begin() + end);
  }
  const Formula& formula() const { return explanation_.check.formula; }
  const std::vector<BatchReading>& taken_readings() const { return explanation_.options.readings; }

  /// Readings as the batch had them; what dilution, temperature and age do is left to the
  /// chemistry.
  void correct_readings(const WaterPhase& phase) {
    auto& options = explanation_.options;
    for (std::size_t n = 0; n < options.readings.size(); ++n) {
      auto& measuring = options.taken[n].measuring;
      if (options.meter_stated && measuring.method != Method::strip && !measuring.step_ph)
        measuring.step_ph = options.meter_ph;
      auto reading = options.readings[n];
      qualities_.push_back(quality_of(phase, reading.ph, measuring, tables_));
      reading.ph = by_a_right_meter(phase, reading.ph, measuring, tables_);
      if (measuring.dilution.diluted()) reading.dilution = measuring.dilution;
      if (measuring.sample_celsius) reading.celsius = measuring.sample_celsius;
      readings_.push_back(std::move(reading));
    }
  }
  /// The surest method is the bench's; what is coarser says so itself.
  void see_circumstances() {
    std::vector<double> halves;
    for (const auto& quality : qualities_) halves.push_back(half_of_tools(quality, tables_));
    auto& bench = circumstances_.bench;
    bench.meter_ph = std::min(2.0, std::ranges::min(halves));
    bench.scale_g = explanation_.options.scale_g;
    constexpr double coarser = 1.05;
    for (std::size_t n = 0; n < halves.size(); ++n)
      if (halves[n] > coarser * bench.meter_ph) readings_[n].half_ph = halves[n];
    circumstances_.conditions = conditions_;
    const auto all_of = [&](auto is) {
      return std::ranges::all_of(explanation_.options.taken, is);
    };
    circumstances_.strip =
        all_of([](const Taken& t) { return t.measuring.method == Method::strip; });
    circumstances_.buffers_read =
        all_of([](const Taken& t) { return !t.measuring.buffers.empty(); });
    circumstances_.meter = all_of(
        [](const Taken& t) { return t.method_stated && t.measuring.method != Method::strip; });
  }
  /// The last reading against what is expected of it, by the formula alone or by the readings
  /// before it too: what it fits worse.
  void measure() {
    auto last = readings_.back();
    last.added = portions_of(readings_);
    const auto in_light = [&](const std::vector<BatchReading>& readings) {
      return calibrate(formula(), readings, tables_, conditions_, circumstances_.bench)
          .readings.back();
    };
    auto light = in_light({last});
    const auto after_others = readings_.size() > 1 ? in_light(readings_) : light;
    const bool others = std::abs(after_others.surprise) > std::abs(light.surprise);
    if (others) light = after_others;
    MeasurementInLight measured{qualities_.back(),  half_of_tools(qualities_.back(), tables_),
                                light.expected,     light.low,
                                light.high,         last.ph,
                                light.surprise,     1,
                                Difference::inside, false};
    const double z = std::abs(light.surprise);
    measured.once_in = 1 / std::max(1e-300, std::erfc(z / std::sqrt(2.0)));
    measured.difference = z < deviates_to_end  ? Difference::inside
                          : z <= most_surprise ? Difference::may_be_chance
                                               : Difference::real;
    measured.by_readings_before = others;
    explanation_.measurement = std::move(measured);
  }
  Explained explained() const {
    return explain_readings(formula(), readings_, tables_, circumstances_,
                            explanation_.options.findings);
  }
  /// What was found about a line is its most probable mishap which that check shows.
  void resolve_findings() {
    auto& findings = explanation_.options.findings;
    if (std::ranges::none_of(findings, [](const Finding& f) { return f.kind == any_kind; })) return;
    const auto before = explain_readings(formula(), readings_, tables_, circumstances_);
    for (auto& finding : findings) {
      if (finding.kind != any_kind) continue;
      const auto cause = std::ranges::find_if(before.causes, [&](const Cause& one) {
        return one.check == finding.check &&
               std::ranges::count(one.hypothesis.items, *finding.item) > 0;
      });
      if (cause == before.causes.end()) refuse_finding(finding);
      finding.kind = cause->hypothesis.kind;
    }
  }
  [[noreturn]] void refuse_finding(const Finding& finding) const {
    std::vector<Problem> problems;
    add_problem(problems, {},
                "the check " + finding.check + " found something about " +
                    explanation_.check.name_of(*finding.item),
                "something that this check can show of it, or another check");
    throw BadInput(std::move(problems));
  }

  /// Between the first and the last reading of a known age, where nothing was added after the
  /// first.
  void see_change() {
    std::vector<std::size_t> aged;
    for (std::size_t n = 0; n < readings_.size(); ++n) {
      if (!readings_[n].added.empty()) aged.clear();
      if (readings_[n].age_days) aged.push_back(n);
    }
    if (aged.size() < 2) return;
    const auto &first = readings_[aged.front()], &last = readings_[aged.back()];
    if (!(*last.age_days > *first.age_days)) return;
    const Formula batch = with_portions(formula(), portions_of(readings_), tables_);
    const auto phase = water_phase_of(batch, tables_, conditions_);
    DriftOptions kept;
    kept.days = {*first.age_days, *last.age_days};
    const auto drift = drift_of(batch, *phase, tables_, kept);
    const auto &from = drift.points.front(), &to = drift.points.back();
    ChangeInLight change{
        *first.age_days, *last.age_days, last.ph - first.ph, to.change - from.change, 0, 0, true};
    const double usual = repeatability(tables_);
    const double off = std::hypot(std::max(usual, first.half_ph.value_or(0)),
                                  std::max(usual, last.half_ph.value_or(0)));
    change.low = change.expected - std::hypot(off, to.change - to.change_low);
    change.high = change.expected + std::hypot(off, to.change_high - to.change);
    change.as_forecast = change.low <= change.read && change.read <= change.high;
    explanation_.change = change;
  }
  void learn_lots(const Calibration& learned) {
    if (explanation_.explained.causes.empty()) return;
    const auto& kind = explanation_.explained.causes.front().hypothesis.kind;
    if (kind == "none" || kind == "raw-material-out-of-range")
      explanation_.lots = learned_lots(learned, formula(), tables_);
  }

  const Tables& tables_;
  Conditions conditions_;
  Circumstances circumstances_;
  Explanation explanation_;
  std::vector<BatchReading> readings_;  ///< corrected
  std::vector<MeasurementQuality> qualities_;
};

}  // namespace

bool Explanation::stop() const {
  return check.stop() || (!standings.empty() && standings.front().stop);
}

std::size_t Explanation::leading() const {
  const auto& causes = explained.causes;
  std::size_t count = std::min<std::size_t>(1, causes.size());
  while (count < std::min(most_leading, causes.size()) &&
         causes[count].probability >= least_leading)
    ++count;
  return count;
}

Explanation explain(const Formula& formula, const Tables& tables, const ExplainOptions& options) {
  return Explainer(formula, tables, options).make();
}

}  // namespace counterion
