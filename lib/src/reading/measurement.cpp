// SPDX-License-Identifier: MIT
#include <counterion/reading/measurement.hpp>

#include "measurement_figures.hpp"
#include "measurement_phase.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace counterion {
namespace {

/// Exact since 2019: k = 1.380649e-23 J/K and e = 1.602176634e-19 C (CODATA 2018); R/F = k/e.
constexpr double boltzmann_J_per_K = 1.380649e-23, elementary_charge_C = 1.602176634e-19;

/// The pH at which an ideal electrode gives no voltage, whatever its temperature.
constexpr double neutral_point = 7;

void check(double value, double least, double most, std::string_view what, std::string_view unit,
           std::vector<Problem>& problems) {
  if (value >= least && value <= most) return;
  add_problem(problems, {}, fmt::format("{} {}{}", what, value, unit),
              fmt::format("{:g} to {:g}{}", least, most, unit));
}

void check(const BufferReading& buffer, std::vector<Problem>& problems) {
  check(buffer.nominal_ph, 0, 14, "a buffer of pH", "", problems);
  if (buffer.millivolts)
    check(*buffer.millivolts, -1000, 1000, "a buffer read", " mV", problems);
  else
    check(buffer.shown_ph, -2, 16, "a buffer was shown as pH", "", problems);
  check(buffer.celsius, 0, 100, "a buffer at", " °C", problems);
}

void check(double read_ph, const Measuring& measuring, std::vector<Problem>& problems) {
  check(read_ph, 0, 14, "the reading is pH", "", problems);
  if (measuring.step_ph) check(*measuring.step_ph, 0, 7, "a step of", " pH", problems);
  for (const auto& buffer : measuring.buffers) check(buffer, problems);
  if (measuring.sample_celsius)
    check(*measuring.sample_celsius, 0, 80, "the sample was at", " °C", problems);
  if (measuring.calibrated_celsius)
    check(*measuring.calibrated_celsius, 0, 100, "the meter was calibrated at", " °C", problems);
  if (measuring.buffer_age_days)
    check(*measuring.buffer_age_days, 0, 1e5, "the buffers were opened", " days ago", problems);
  add_problems_of(measuring.dilution, {}, problems);
}

/// What an electrode gives in a buffer, in pH units of an ideal one: nothing at pH 7, rises with
/// acidity.
double signal_of(const BufferReading& buffer) {
  return buffer.millivolts ? *buffer.millivolts / nernst_slope_mV(buffer.celsius)
                           : neutral_point - buffer.shown_ph;
}

bool are_two(std::span<const BufferReading> buffers) {
  constexpr double apart = 0.1;
  return !buffers.empty() && std::ranges::any_of(buffers, [&](const BufferReading& buffer) {
    return std::abs(buffer.nominal_ph - buffers.front().nominal_ph) > apart;
  });
}

/// Least squares: signal = slope (7 - pH) + offset.
Electrode fitted(std::span<const BufferReading> buffers) {
  const auto n = static_cast<double>(buffers.size());
  double x_mean = 0, y_mean = 0, slope_mV = 0, xx = 0, xy = 0;
  for (const auto& buffer : buffers) {
    x_mean += (neutral_point - buffer.nominal_ph) / n;
    y_mean += signal_of(buffer) / n;
    slope_mV += nernst_slope_mV(buffer.celsius) / n;
  }
  for (const auto& buffer : buffers) {
    const double x = neutral_point - buffer.nominal_ph - x_mean;
    xx += x * x, xy += x * (signal_of(buffer) - y_mean);
  }
  Electrode electrode;
  electrode.slope_percent = 100 * xy / xx;
  electrode.offset_ph = y_mean - xy / xx * x_mean;
  electrode.offset_mV = electrode.offset_ph * slope_mV;
  return electrode;
}

}  // namespace

double nernst_slope_mV(double celsius) {
  return 1000 * boltzmann_J_per_K / elementary_charge_C * (celsius + ice_point_kelvin) *
         std::numbers::ln10;
}

double Electrode::ph_of(double shown_ph) const {
  return neutral_point - (neutral_point - shown_ph - offset_ph) / (slope_percent / 100);
}

Electrode electrode_of(std::span<const BufferReading> buffers, const Tables& tables) {
  std::vector<Problem> problems;
  for (const auto& buffer : buffers) check(buffer, problems);
  if (!are_two(buffers))
    add_problem(problems, {}, "buffers of one pH, or none", "two buffers or more of different pH");
  if (!problems.empty()) throw BadInput(std::move(problems));
  Electrode electrode = fitted(buffers);
  const double least = figure("slope-minimum", tables).value,
               most = figure("slope-maximum", tables).value,
               offset = figure("offset-maximum", tables).value;
  electrode.slope_fine = electrode.slope_percent >= least && electrode.slope_percent <= most;
  electrode.offset_fine = std::abs(electrode.offset_mV) <= offset;
  return electrode;
}

double shown_without_compensation(double ph, double sample_celsius, double calibrated_celsius) {
  return neutral_point + (ph - neutral_point) * (sample_celsius + ice_point_kelvin) /
                             (calibrated_celsius + ice_point_kelvin);
}

namespace {

/// Gathers what moves a reading and what makes it unsure, from the meter to the batch.
class Judge {
 public:
  Judge(const WaterPhase& phase, double read_ph, const Measuring& measuring, const Tables& tables)
      : phase_(phase), measuring_(measuring), tables_(tables) {
    quality_.read_ph = ph_ = read_ph;
  }

  MeasurementQuality judged() {
    if (measuring_.method == Method::strip) {
      judge_strip();
    } else {
      judge_electrode();
      judge_meter();
      judge_compensation();
      judge_buffer_age();
    }
    const ReadPhase read(phase_, ph_, measuring_, tables_);
    judge_sample(read);
    quality_.corrected_ph = read.itself();
    conclude();
    return std::move(quality_);
  }

 private:
  void add(std::string what, double shift, double half, std::string what_to_do,
           const Figure& figure = {}) {
    quality_.effects.push_back(
        {std::move(what), shift, half, std::move(what_to_do), figure.source, figure.row_id});
  }
  Figure known(std::string_view kind) const { return figure(kind, tables_); }

  void judge_strip() {
    const Figure usual_step = known("strip-step"), colour = known("strip");
    const double step = measuring_.step_ph.value_or(usual_step.value);
    add(fmt::format("a strip in steps of {:g} pH, its colour judged by eye", step), 0,
        std::hypot(0.5 * step, colour.value), "read it with a meter that was calibrated today",
        colour);
  }
  /// Takes out what buffers showed to be wrong with the meter's scale.
  void judge_electrode() {
    const auto& buffers = measuring_.buffers;
    if (are_two(buffers)) quality_.electrode = electrode_of(buffers, tables_);
    const bool shown = std::ranges::none_of(
        buffers, [](const BufferReading& buffer) { return buffer.millivolts.has_value(); });
    if (buffers.empty() || !(shown || measuring_.method == Method::meter_not_calibrated)) {
      if (quality_.electrode) judge_worn();
      return;
    }
    const double before = ph_;
    ph_ = quality_.electrode
              ? quality_.electrode->ph_of(ph_)
              : ph_ + neutral_point - buffers.front().nominal_ph - signal_of(buffers.front());
    if (std::abs(before - ph_) > nothing)
      add(scale_in_words(), before - ph_, 0, "calibrate the meter with fresh buffers",
          known("slope-minimum"));
    if (quality_.electrode) judge_worn();
  }
  std::string scale_in_words() const {
    if (!quality_.electrode) return "the meter does not show what its buffer has";
    return fmt::format(
        "the meter's scale: its electrode has {:.1f} % of the ideal slope and is off "
        "by {:.0f} mV at pH 7",
        quality_.electrode->slope_percent, quality_.electrode->offset_mV);
  }
  /// An electrode beyond its limits is no longer trusted to be a straight line.
  void judge_worn() {
    const auto& electrode = *quality_.electrode;
    const std::string what_to_do = "clean the electrode, calibrate again; replace it if that fails";
    if (!electrode.slope_fine)
      add(fmt::format("the electrode's slope, {:.1f} % of the ideal, is beyond its limits",
                      electrode.slope_percent),
          0, std::abs(ph_ - neutral_point) * slope_spread(), what_to_do,
          known(electrode.slope_percent < 100 ? "slope-minimum" : "slope-maximum"));
    if (!electrode.offset_fine)
      add(fmt::format("the electrode's offset, {:.0f} mV, is beyond its limits",
                      electrode.offset_mV),
          0, known("two-point-calibration").value, what_to_do, known("offset-maximum"));
  }
  /// Half of what lies between the slopes that an electrode may have, as a share.
  double slope_spread() const {
    return 0.5 * (known("slope-maximum").value - known("slope-minimum").value) / 100;
  }
  void judge_meter() {
    const auto kind = calibration();
    const Figure figure = known(kind);
    double half = measuring_.step_ph.value_or(figure.value);
    if (kind == "one-point-calibration" || kind == "not-calibrated")
      half = std::hypot(half, slope_spread() * (ph_ - calibrated_at()));
    add(calibration_in_words(kind), 0, half,
        kind == "two-point-calibration" ? "read twice, and in a third buffer"
                                        : "calibrate with two buffers on both sides of the reading",
        figure);
  }
  double calibrated_at() const {
    return measuring_.buffers.empty() ? neutral_point : measuring_.buffers.front().nominal_ph;
  }
  /// How well the meter is calibrated; buffers that it was held against count as much.
  std::string_view calibration() const {
    if (measuring_.method == Method::meter_two_points || quality_.electrode)
      return "two-point-calibration";
    if (measuring_.method == Method::meter_one_point || !measuring_.buffers.empty())
      return "one-point-calibration";
    return measuring_.method == Method::meter_not_calibrated ? "not-calibrated" : "meter";
  }
  static std::string calibration_in_words(std::string_view kind) {
    if (kind == "two-point-calibration") return "a meter calibrated at two points";
    if (kind == "one-point-calibration")
      return "a meter calibrated at one point: its slope is not known";
    if (kind == "not-calibrated") return "a meter that was not calibrated";
    return "a meter of whose calibration nothing is said";
  }
  void judge_compensation() {
    if (measuring_.compensates_temperature || !measuring_.sample_celsius) return;
    const double calibrated = measuring_.calibrated_celsius.value_or(usual_celsius), before = ph_;
    ph_ = shown_without_compensation(ph_, calibrated, *measuring_.sample_celsius);
    if (std::abs(before - ph_) > nothing)
      add(fmt::format("the meter takes the sample's {:g} °C for the {:g} °C of its calibration",
                      *measuring_.sample_celsius, calibrated),
          before - ph_, 0,
          "set the sample's temperature on the meter, or read at that of the buffers");
  }
  /// Alkaline buffers take up carbon dioxide; the others keep.
  void judge_buffer_age() {
    if (!measuring_.buffer_age_days) return;
    const Figure fall = known("opened-buffer");
    double alkaline = measuring_.buffers.empty() ? 10 : neutral_point;
    for (const auto& buffer : measuring_.buffers) alkaline = std::max(alkaline, buffer.nominal_ph);
    const bool old = *measuring_.buffer_age_days > known("opened-buffer-age").value;
    const double reach = std::clamp((ph_ - neutral_point) / 3, 0.0, 1.0);
    if (old && alkaline > 8 && fall.value * reach > nothing)
      add(fmt::format("alkaline buffer opened {:g} days ago: it has taken up carbon dioxide",
                      *measuring_.buffer_age_days),
          0, fall.value * reach, "calibrate with a fresh alkaline buffer", fall);
  }

  void judge_sample(const ReadPhase& read) {
    judge_dilution(read);
    judge_temperature(read);
    judge_air(read);
    judge_junction(read);
  }
  void judge_dilution(const ReadPhase& read) {
    const auto& dilution = measuring_.dilution;
    if (!dilution.diluted()) return;
    const double without = read.in_clean_water();
    add(fmt::format("it was read in water: {:g} g in {:g} g", dilution.product_g, dilution.water_g),
        without - read.undiluted(), 0, "read the product itself, or in less water");
    if (std::abs(ph_ - without) > nothing)
      add("carbon dioxide of the water that it was stirred into", ph_ - without,
          0.5 * std::abs(ph_ - without), "boil the water and let it cool covered",
          read.air_source());
  }
  void judge_temperature(const ReadPhase& read) {
    if (measuring_.sample_celsius) {
      const double shift = read.undiluted() - read.itself();
      if (std::abs(shift) > nothing)
        add(fmt::format("the product itself has another pH at {:g} °C than at {:g} °C",
                        *measuring_.sample_celsius, in_celsius(phase_.conditions.temperature)),
            shift, 0, "let it come to room temperature before it is read");
      return;
    }
    const Figure off = known("unstated-temperature");
    const double half = read.moved_by_temperature(off.value);
    if (half > nothing)
      add(fmt::format("its temperature is not stated: {:g} °C more or less", off.value), 0, half,
          "read its temperature too", off);
  }
  void judge_air(const ReadPhase& read) {
    if (const double half = std::abs(read.open_to_air() - ph_); half > nothing)
      add("carbon dioxide that it took up from the air, or lost", 0, half,
          "read a fresh sample at once, covered", read.air_source());
  }
  void judge_junction(const ReadPhase& read) {
    if (measuring_.method == Method::strip) return;
    const Figure few_ions = known("low-ionic-strength");
    if (read.ionic_strength() < known("low-ionic-strength-below").value)
      add("hardly any ions: the electrode's junction is off and slow", 0, few_ions.value,
          "stir in a pinch of table salt, or use an electrode for pure water", few_ions);
    const Figure solvent = known("solvent-on-electrode"), oil = known("oil-on-electrode");
    if (const double half = solvent.value * read.solvent_fraction(); half > nothing)
      add("alcohol or glycol at the electrode's junction", 0, half,
          "read it in ten times the water", solvent);
    if (read.oil_litres_per_kg() > 0.05)
      add("oil on the electrode", 0, oil.value, "rinse with a little detergent, wait, read again",
          oil);
  }

  void conclude() {
    double squares = 0;
    for (const auto& effect : quality_.effects) squares += effect.half_ph * effect.half_ph;
    quality_.half_ph = std::sqrt(squares);
    std::ranges::stable_sort(quality_.effects, std::ranges::greater{}, [](const ReadingEffect& e) {
      return std::max(std::abs(e.shift_ph), e.half_ph);
    });
  }

  static constexpr double nothing = 0.002;  ///< pH that is not worth a word
  static constexpr double usual_celsius = 25;
  const WaterPhase& phase_;
  const Measuring& measuring_;
  const Tables& tables_;
  MeasurementQuality quality_;
  double ph_ = 7;  ///< of what the electrode stood in
};

}  // namespace

MeasurementQuality quality_of(const WaterPhase& phase, double read_ph, const Measuring& measuring,
                              const Tables& tables) {
  std::vector<Problem> problems;
  check(read_ph, measuring, problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
  return Judge(phase, read_ph, measuring, tables).judged();
}

}  // namespace counterion
