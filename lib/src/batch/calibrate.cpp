// SPDX-License-Identifier: MIT
#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/drift.hpp>
#include <counterion/batch/moved_phase.hpp>
#include <counterion/chemistry/nonnegative_least_squares.hpp>

#include "calibration_algebra.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

namespace counterion {
namespace {

using Vector = std::vector<double>;

double batch_level(std::string_view kind, const Tables& tables) {
  for (const auto& row : tables.levels_of("batch"))
    if (row.kind == kind && row.rank == 1) return row.value;
  return 0;
}

/// The first part of a line among those of a phase.
std::size_t first_part_of(std::size_t item, const WaterPhase& phase) {
  const auto found = std::ranges::find(phase.parts, item, &WaterPhase::Part::item);
  return static_cast<std::size_t>(found - phase.parts.begin());
}

/// What a driver is called, alike in all phases of one batch.
std::string key_of(const Driver& driver, const WaterPhase& phase) {
  std::string subject;
  switch (driver.kind) {
    case DriverKind::content:
      subject = std::to_string(driver.subject - first_part_of(*driver.item, phase));
      break;
    case DriverKind::progress:
      subject = phase.parts[driver.subject].component->id;
      break;
    case DriverKind::constant:
    case DriverKind::partition:
    case DriverKind::solubility:
    case DriverKind::unlisted_buffer:
      subject = phase.substances[driver.subject]->id;
      break;
    case DriverKind::polymer_constant:
      subject = phase.polymer_substances[driver.subject]->id;
      break;
    default:
      break;
  }
  return fmt::format("{}:{}:{}:{}", static_cast<int>(driver.kind),
                     driver.item ? static_cast<int>(*driver.item) : -1, subject, driver.step);
}

/// Says where a number that was stated is not from `least` to `most`.
void check_stated(std::optional<double> stated, double least, double most, std::string_view what,
                  std::string_view unit, const Place& place, std::vector<Problem>& problems) {
  if (!stated || (*stated >= least && *stated <= most)) return;
  add_problem(problems, place, fmt::format("{} {}{}", what, *stated, unit),
              fmt::format("{:g} to {:g}{}", least, most, unit));
}

void check(const BatchReading& reading, std::vector<Problem>& problems) {
  const Place& place = reading.place;
  if (!(reading.ph >= 0 && reading.ph <= 14))
    add_problem(problems, place, fmt::format("the reading is {}", reading.ph), "pH 0 to 14");
  for (const auto& portion : reading.added)
    if (!(portion.grams >= 0 && portion.grams <= 1e9))
      add_problem(problems, place, fmt::format("{} g were added", portion.grams),
                  "0 g or more, 1e9 g at most");
  check_stated(reading.age_days, 0, 1e5, "it was read at an age of", " days", place, problems);
  check_stated(reading.celsius, 0, 80, "it was read at", " °C", place, problems);
  check_stated(reading.half_ph, 0, 14, "the reading is sure within", " pH", place, problems);
  add_problems_of(reading.dilution, place, problems);
}

void require_valid(std::span<const BatchReading> readings) {
  std::vector<Problem> problems;
  for (const auto& reading : readings) check(reading, problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
}

/// Quick changes are over after so many days, near enough for a reading.
constexpr double quick_changes_days = 30;

bool is_fresh(const BatchReading& reading) {
  return reading.age_days && *reading.age_days < quick_changes_days;
}

/// The conditions under which a batch was read.
Conditions conditions_of(const BatchReading& reading, const Conditions& usual) {
  Conditions here = usual;
  if (!reading.celsius || *reading.celsius == in_celsius(usual.temperature)) return here;
  here.temperature = celsius(*reading.celsius);
  here.water.reset();
  return here;
}

/// Whether a reading was one of the batch as it is: at the usual conditions, and of the product
/// itself.
bool is_plain(const BatchReading& reading, const Conditions& usual) {
  return !is_fresh(reading) && !reading.dilution.diluted() &&
         reading.celsius.value_or(in_celsius(usual.temperature)) == in_celsius(usual.temperature);
}

/// Half a normal distribution of unit spread, which an amount that may be nothing has: its middle,
/// how far its 90 % interval reaches to both sides, and the deviate at which nothing is left.
constexpr double half_normal_middle = 0.798, half_normal_below = 0.735, half_normal_above = 1.162;
constexpr double half_normal_least = -half_normal_middle / half_normal_below * deviates_to_end;

/// Share of a group of this pK that has lost its proton, near enough.
double ionised_share(double pK, double ph) {
  return 1 / (1 + std::pow(10.0, pK - ph));
}

/// Readings that surprise say that all is less sure than the tables have it: the scale of the ± has
/// the weight of four readings that do not (assumption), and is never taken as less than one.
double wider_by(double squares_of_surprise, std::size_t readings) {
  constexpr double weight = 4;
  return std::sqrt(
      std::max(1.0, (weight + squares_of_surprise) / (weight + static_cast<double>(readings))));
}

void widen(double by, WaterPhase& phase) {
  for (auto& driver : phase.drivers) driver.low *= by, driver.high *= by;
}

/// How much acidity or alkalinity of its lines nobody has stated, mol/kg of water; what buffers,
/// adds up.
double unknown_charge(const WaterPhase& phase) {
  double half = 0;
  for (const auto& driver : phase.drivers)
    if (driver.guessed) half += 0.5 * (driver.high - driver.low);
  return half;
}

}  // namespace

/// Learns from the readings of one batch.
class Calibrator {
 public:
  Calibrator(const Formula& formula, std::span<const BatchReading> readings, const Tables& tables,
             const Conditions& conditions, const Bench& bench)
      : formula_(formula),
        readings_(readings),
        tables_(tables),
        conditions_(conditions),
        bench_(bench) {}

  Calibration run() {
    Calibration result;
    result.formula = formula_;
    const auto own = BatchKnowledge().phase_of(formula_, tables_, conditions_);
    if (!own || readings_.empty()) {
      result.phase = own;
      return result;
    }
    prepare(*own);
    for (std::size_t n = 0; n < readings_.size(); ++n) {
      build(n);
      result.readings.push_back(in_light(n));
      surprise_ += std::pow(result.readings.back().surprise, 2);
      knowledge_.wider_ = wider_by(surprise_, n + 1);
      learn(n + 1);
    }
    conclude(result);
    return result;
  }

  /// The phases at the readings as the tables have them; none without water.
  std::vector<WaterPhase> as_read(ReadingFrame& frame) {
    const bool first = !frame.known_;
    const auto own = first ? BatchKnowledge().phase_of(formula_, tables_, conditions_)
                           : water_phase_of(formula_, tables_, conditions_, Sureness::left_aside);
    if (!own || readings_.empty()) return {};
    if (first) {
      prepare(*own);
      frame.knowledge_ = knowledge_, frame.known_ = true;
    } else {
      knowledge_ = frame.knowledge_;
      own_ph_ = counterion::ph_of(*own);
    }
    knowledge_.first_ph_ = own_ph_;  // what is said before a reading must not look at it
    for (std::size_t n = 0; n < readings_.size(); ++n) build(n);
    return std::move(phases_);
  }

  /// See `log_evidence`.
  double log_evidence() {
    const auto own = BatchKnowledge().phase_of(formula_, tables_, conditions_);
    if (readings_.empty()) return 0;
    if (!own) return -std::numeric_limits<double>::infinity();
    prepare(*own);
    knowledge_.first_ph_ = own_ph_;  // what is said before a reading must not look at it
    for (std::size_t n = 0; n < readings_.size(); ++n) build(n);
    return log_density_at(most_probable_deviates());
  }

  /// The drivers that a reading brings into play.
  static void add_bench_drivers(const BatchKnowledge& known, const Tables& tables,
                                WaterPhase& phase);
  static std::vector<std::string> keys_of(const WaterPhase& phase) {
    std::vector<std::string> keys;
    for (const auto& driver : phase.drivers) keys.push_back(key_of(driver, phase));
    return keys;
  }

 private:
  void prepare(const WaterPhase& own) {
    const Prediction before = predict(own, 0);
    auto& known = knowledge_;
    own_ph_ = known.low_ph_ = known.high_ph_ = before.ph;
    for (std::size_t n = 0; n < readings_.size(); ++n) {
      const double ph = ph_of_batch(n, own);
      if (n == 0) known.first_ph_ = ph;
      known.low_ph_ = std::min(known.low_ph_, ph);
      known.high_ph_ = std::max(known.high_ph_, ph);
    }
    known.model_below_ = before.model_below, known.model_above_ = before.model_above;
    known.bench_ = bench_;
    noise_ph_ = std::max(batch_level("reading-repeatability", tables_), 0.3 * bench_.meter_ph) /
                deviates_to_end;
  }
  /// What a reading is off by itself, one standard deviation.
  double noise_of(std::size_t n) const {
    return std::max(noise_ph_, readings_[n].half_ph.value_or(0) / deviates_to_end);
  }
  bool is_plain(std::size_t n) const { return counterion::is_plain(readings_[n], conditions_); }
  /// The pH of the batch itself, as it is kept, that a reading of a slurry, at another temperature
  /// or of a fresh batch stands for: it has the strong charge with which it reads so.
  double ph_of_batch(std::size_t n, const WaterPhase& own) const {
    const auto& reading = readings_[n];
    if (is_plain(n)) return reading.ph;
    auto read = water_phase_of(formula_, tables_, conditions_of(reading, conditions_),
                               Sureness::left_aside);
    if (!read) return reading.ph;
    *read = as_read(reading, formula_, std::move(*read));
    WaterPhase batch = own;
    batch.mixture.add_strong_charge(-charge_at(*read, reading.ph).charge /
                                    share_of_own_water(own, reading.dilution));
    return counterion::ph_of(batch);
  }
  /// A phase at the temperature of its reading, as old as it was and in the water that was added.
  WaterPhase as_read(const BatchReading& reading, const Formula& formula, WaterPhase phase) const {
    return in_its_water(reading, as_old(reading, formula, std::move(phase)));
  }
  WaterPhase as_old(const BatchReading& reading, const Formula& formula, WaterPhase phase) const {
    if (!is_fresh(reading)) return phase;
    return aged_phase(formula, std::move(phase), tables_, *reading.age_days);
  }
  WaterPhase in_its_water(const BatchReading& reading, WaterPhase phase) const {
    return reading.dilution.diluted() ? diluted(std::move(phase), reading.dilution, tables_)
                                      : phase;
  }
  /// The formula as it stood at a reading; lines of later additions are there with nothing of them.
  Formula formula_at(std::size_t n) const {
    std::vector<Portion> portions;
    for (std::size_t i = 0; i < readings_.size(); ++i)
      for (const auto& portion : readings_[i].added)
        portions.push_back({portion.adjuster, i <= n ? portion.grams : 0});
    return with_portions(formula_, portions, tables_);
  }
  /// The phase of a reading with everything that is not sure of it; that of the batch itself, or
  /// as it was read.
  WaterPhase phase_at(std::size_t n, bool itself) const {
    const auto& reading = readings_[n];
    const Formula formula = formula_at(n);
    auto phase =
        water_phase_of(formula, tables_, itself ? conditions_ : conditions_of(reading, conditions_),
                       Sureness::known, bench_.scale_g);
    if (!phase)
      throw BadInput({{reading.place,
                       fmt::format("with what was added before the reading {}", reading.ph),
                       fmt::format("grams that leave {:g} % water or more", least_water_percent),
                       {}}});
    if (!itself) *phase = as_old(reading, formula, std::move(*phase));
    add_unlisted_charge(*phase, formula_, tables_);
    add_bench_drivers(knowledge_, tables_, *phase);
    return itself ? *phase : in_its_water(reading, std::move(*phase));
  }
  void build(std::size_t n) {
    WaterPhase phase = phase_at(n, is_plain(n));
    if (n == 0) {
      const WaterPhase itself = is_plain(n) ? phase : phase_at(n, true);
      add_keys_of(itself);
      meter_ = index_of(DriverKind::meter, itself);
    }
    if (!is_plain(n)) add_keys_of(phase);
    phases_.push_back(in_order(std::move(phase)));
  }
  /// Gives the drivers of a phase that have no place yet one behind all others.
  void add_keys_of(const WaterPhase& phase) {
    const auto keys = keys_of(phase);
    for (std::size_t d = 0; d < keys.size(); ++d) {
      if (std::ranges::find(keys_, keys[d]) != keys_.end()) continue;
      keys_.push_back(keys[d]);
      deviates_.push_back(0);
      least_.push_back(phase.drivers[d].kind == DriverKind::unlisted_buffer ? half_normal_least
                                                                            : algebra::no_bound);
      for (auto& direction : learned_) direction.push_back(0);
      for (auto& before : phases_) before.drivers.push_back(no_driver());
    }
  }
  static Driver no_driver() { return {DriverKind::meter, {}, {}, {}, {}, 0, 0, 0, false, 0, 0}; }
  static std::size_t index_of(DriverKind kind, const WaterPhase& phase) {
    return static_cast<std::size_t>(std::ranges::find(phase.drivers, kind, &Driver::kind) -
                                    phase.drivers.begin());
  }
  /// The drivers in the order of the first phase; one that it does not have is left out, one that
  /// is missing moves nothing.
  WaterPhase in_order(WaterPhase phase) const {
    const auto keys = keys_of(phase);
    std::vector<Driver> drivers;
    for (const auto& key : keys_) {
      const auto found = std::ranges::find(keys, key);
      drivers.push_back(found != keys.end()
                            ? phase.drivers[static_cast<std::size_t>(found - keys.begin())]
                            : no_driver());
    }
    phase.drivers = std::move(drivers);
    return phase;
  }
  /// A reading as what is known says: where it was expected, before it is learned from.
  ReadingInLight in_light(std::size_t n) const {
    WaterPhase phase = phases_[n];
    if (!learned_.empty()) MovedPhase::settle(phase, deviates_);
    phase.learned = learned_;
    widen(knowledge_.wider_, phase);
    Prediction expected = predict(phase, 0);
    const double meter = deviates_[meter_] / deviates_to_end * bench_.meter_ph;
    expected.ph += meter, expected.p05 += meter, expected.p95 += meter;  // what it will show
    const double off = std::hypot(bench_.meter_ph, deviates_to_end * noise_of(n));
    ReadingInLight light{readings_[n].ph, expected.ph,
                         expected.ph - std::hypot(expected.ph - expected.p05, off),
                         expected.ph + std::hypot(expected.p95 - expected.ph, off), 0};
    const double side =
        light.ph < light.expected ? light.expected - light.low : light.high - light.expected;
    light.surprise = deviates_to_end * (light.ph - light.expected) / std::max(1e-9, side);
    return light;
  }

  /// One reading as an equation of the deviates: J·u = wanted, in units of what the reading may be
  /// off.
  struct Equation {
    Vector J;
    double wanted = 0;
    double residual = 0;  ///< the charge that does not balance; what the meter is off left aside
  };
  Equation equation(std::size_t n) const {
    WaterPhase phase = phases_[n];
    MovedPhase::settle(phase, deviates_);
    const ChargeAt at = charge_at(phase, readings_[n].ph);
    const double unit = std::max(1e-9, at.capacity * noise_of(n));
    Equation row{at.slopes, 0, at.charge / unit};
    row.J[meter_] = at.capacity * bench_.meter_ph;
    for (double& slope : row.J) slope /= deviates_to_end * unit;
    row.wanted = algebra::dot(row.J, deviates_) - row.residual;
    return row;
  }
  /// The most probable deviates after the first `count` readings, and what of them is known.
  void learn(std::size_t count) {
    constexpr int passes = 60;
    for (int pass = 0; pass < passes; ++pass) {
      std::vector<Vector> J;
      Vector wanted;
      for (std::size_t n = 0; n < count; ++n) {
        auto row = with_meter(equation(n));
        J.push_back(std::move(row.J)), wanted.push_back(row.wanted);
      }
      const double change = step_towards(algebra::most_probable(J, wanted, least_));
      learned_ = algebra::known_directions(J);
      if (change < 1e-6) break;
    }
  }

  /// All readings at once, in few passes: near the most probable deviates they are linear. The
  /// equations are those of where the passes ended.
  std::vector<Equation> most_probable_deviates() {
    constexpr int passes = 20;
    constexpr double near = 1e-3;
    std::vector<Equation> rows;
    for (int pass = 0; pass < passes; ++pass) {
      rows.clear();
      for (std::size_t n = 0; n < phases_.size(); ++n) rows.push_back(with_meter(equation(n)));
      std::vector<Vector> J;
      Vector wanted;
      for (const auto& row : rows) J.push_back(row.J), wanted.push_back(row.wanted);
      if (step_towards(algebra::most_probable(J, wanted, least_)) < near) break;
    }
    return rows;
  }
  /// The meter's own part of what does not balance, which no charge shows.
  Equation with_meter(Equation row) const {
    const double part = row.J[meter_] * deviates_[meter_];
    row.residual += part, row.wanted -= part;
    return row;
  }
  /// Goes to new deviates, at most two in any; says how far they were away.
  double step_towards(const Vector& next) {
    double change = 0;
    for (std::size_t d = 0; d < next.size(); ++d)
      change = std::max(change, std::abs(next[d] - deviates_[d]));
    const double part = change > 2 ? 2 / change : 1;  // far steps are no longer linear
    for (std::size_t d = 0; d < next.size(); ++d) deviates_[d] += part * (next[d] - deviates_[d]);
    return change;
  }
  /// Laplace's approximation at the most probable deviates u, n readings.
  ///
  /// Given u, reading i is normal about the pH p_i(u) at which its phase balances, with standard
  /// deviation s_i: its density is φ((pH_i - p_i)/s_i)/s_i. Over s_i the charge q_i(u, pH) is
  /// linear in pH, q_i = c_i (pH_i - p_i) up to its sign, c_i the capacity: (pH_i - p_i)/s_i is r_i
  /// = q_i/(c_i s_i), what the equations hold, and the capacity that changes pH into charge cancels
  /// that which changes it back: c_i/(c_i s_i) = 1/s_i. The prior of u is (2π)^(-d/2)
  /// exp(-|u|²/2). Integrating exp(-|u|²/2 - |r|²/2), with r linear in u (∂r/∂u = J), over u
  /// leaves (2π)^(d/2)/sqrt(det(I + JᵀJ)), and det(I + JᵀJ) = det(I + J Jᵀ), which is n by n:
  /// log p = -|u|²/2 - |r|²/2 - log det(I + J Jᵀ)/2 - Σ log s_i - n log(2π)/2.
  double log_density_at(const std::vector<Equation>& rows) const {
    double sum = -0.5 * algebra::dot(deviates_, deviates_);
    std::vector<Vector> J;
    for (std::size_t n = 0; n < rows.size(); ++n) {
      sum -= 0.5 * rows[n].residual * rows[n].residual + std::log(noise_of(n)) +
             0.5 * std::log(2 * std::numbers::pi);
      J.push_back(rows[n].J);
    }
    for (std::size_t d = 0; d < deviates_.size(); ++d)
      if (least_[d] != algebra::no_bound && deviates_[d] <= least_[d] + 1e-9)
        sum += at_its_bound(d, rows, J);
    return sum - 0.5 * algebra::log_determinant(J);
  }
  /// A deviate that stands at its least is no middle of a normal distribution: it is integrated
  /// along its half line, by itself, and its column is taken out of J.
  double at_its_bound(std::size_t d, const std::vector<Equation>& rows,
                      std::vector<Vector>& J) const {
    constexpr double above_least = 0.963;  // of a normal distribution
    double slope = deviates_[d], curvature = 1;
    for (std::size_t n = 0; n < rows.size(); ++n) {
      slope += rows[n].J[d] * rows[n].residual;
      curvature += rows[n].J[d] * rows[n].J[d];
      J[n][d] = 0;
    }
    const double z = std::clamp(slope / std::sqrt(curvature), -5.0, 25.0);
    return 0.5 * z * z + std::log(0.5 * std::erfc(z / std::numbers::sqrt2)) -
           0.5 * std::log(curvature) - std::log(above_least);
  }

  void conclude(Calibration& result) {
    knowledge_.keys_ = keys_;
    knowledge_.deviates_ = deviates_;
    knowledge_.learned_ = learned_;
    result.knowledge = knowledge_;
    result.formula = formula_at(readings_.size());
    const std::size_t last = readings_.size() - 1;
    const WaterPhase middle = is_plain(last) ? phases_.back() : in_order(phase_at(last, true));
    result.phase = middle;
    MovedPhase::settle(*result.phase, deviates_);
    result.phase->learned = learned_;
    widen(knowledge_.wider_, *result.phase);
    result.beyond_tables = std::ranges::any_of(result.readings, [](const ReadingInLight& r) {
      return std::abs(r.surprise) > most_surprise;
    });
    if (std::abs(result.readings.front().surprise) > most_surprise) result.slips = slips();
    say_what_was_learned(
        middle, is_plain(last) ? readings_.back().ph : counterion::ph_of(*result.phase), result);
  }
  /// Lines left out or doubled with which the batch would read as it first did, nearest first.
  std::vector<Slip> slips() const {
    constexpr double near = 0.3;
    std::vector<Slip> found;
    for (std::size_t i = 0; i < formula_.items.size(); ++i)
      for (const bool doubled : {false, true}) {
        Formula slipped = formula_;
        slipped.items[i].percent *= doubled ? 2 : 0;
        const auto phase = water_phase_of(slipped, tables_, conditions_, Sureness::left_aside);
        const double ph = phase ? counterion::ph_of(*phase) : 0;
        if (phase && std::abs(ph - knowledge_.first_ph_) < near) found.push_back({i, doubled, ph});
      }
    std::ranges::sort(found, {},
                      [&](const Slip& slip) { return std::abs(slip.ph - knowledge_.first_ph_); });
    return found;
  }
  void say_what_was_learned(const WaterPhase& middle, double ph, Calibration& result) const {
    const double per_kg_batch = 10 * middle.water_percent;  // meq from mol/kg of water
    const ChargeAt before = charge_at(middle, ph), after = charge_at(*result.phase, ph);
    const ChargeSpread spread = charge_spread_at(*result.phase, ph);
    const double charge = after.charge - before.charge;
    result.unexplained_meq_per_kg = {charge * per_kg_batch, (charge - spread.below) * per_kg_batch,
                                     (charge + spread.above) * per_kg_batch};
    const double capacity = (after.capacity - before.capacity) * per_kg_batch;
    const double off = capacity_spread(*result.phase, ph) * per_kg_batch;
    result.extra_buffer_mmol_per_kg = {capacity, capacity - off, capacity + off};
  }
  /// Half width of the buffer capacity's 90 % interval, from the charge on both sides of the pH.
  static double capacity_spread(const WaterPhase& phase, double ph) {
    constexpr double step = 0.25;
    const ChargeAt low = charge_at(phase, ph - step), high = charge_at(phase, ph + step);
    Vector slopes;
    for (std::size_t d = 0; d < low.slopes.size(); ++d)
      slopes.push_back((low.slopes[d] - high.slopes[d]) / (2 * step));
    double left = algebra::dot(slopes, slopes);
    for (const auto& direction : phase.learned)
      left -= std::pow(algebra::dot(slopes, direction), 2);
    return std::sqrt(std::max(0.0, left));
  }

  const Formula& formula_;
  std::span<const BatchReading> readings_;
  const Tables& tables_;
  const Conditions& conditions_;
  Bench bench_;
  BatchKnowledge knowledge_;
  double own_ph_ = 7;  ///< of the batch, before any reading
  double noise_ph_ = 0.02;
  double surprise_ = 0;             ///< sum of squares
  std::vector<WaterPhase> phases_;  ///< at each reading, drivers in one order
  std::vector<std::string> keys_;
  Vector least_;  ///< deviates that may not be less
  std::size_t meter_ = 0;
  Vector deviates_;
  std::vector<Vector> learned_;
};

void Calibrator::add_bench_drivers(const BatchKnowledge& known, const Tables& tables,
                                   WaterPhase& phase) {
  // What the air has brought a reading has seen; what it may bring later is no matter of the next
  // addition.
  std::erase_if(phase.drivers,
                [](const Driver& driver) { return driver.kind == DriverKind::carbon_dioxide; });
  const auto add = [&](DriverKind kind, std::string what, std::size_t subject, double tied,
                       double low, double high) {
    phase.drivers.push_back({kind,
                             std::nullopt,
                             std::move(what),
                             "assumption",
                             {},
                             subject,
                             0,
                             tied,
                             false,
                             low,
                             high});
  };
  const double buffer =
      std::hypot(batch_level("unlisted-buffer", tables) / 1000,
                 batch_level("unlisted-buffer-share", tables) * unknown_charge(phase));
  const double titrated =
      known.bench_.titration ? batch_level("unlisted-buffer-titrated", tables) / 1000 : 0;
  constexpr int reach = 3;  // pK units beyond what was read
  const int first = std::max(2, static_cast<int>(std::floor(known.low_ph_)) - reach);
  const int last = std::min(12, static_cast<int>(std::ceil(known.high_ph_)) + reach);
  const double before = charge_at(phase, known.first_ph_).charge;
  for (int pK = first; pK <= last; ++pK) {
    const double unit = buffer / deviates_to_end,
                 most = std::max(buffer, titrated) / deviates_to_end,
                 tied = ionised_share(pK, known.first_ph_);
    const std::size_t group = buffer_group_in(phase, pK, tables);
    add(DriverKind::unlisted_buffer,
        fmt::format("buffering near pH {} that no line accounts for", pK), group, tied,
        -half_normal_below * unit, half_normal_above * most);
    phase.mixture.protolytes[group].molality += half_normal_middle * unit;
  }
  // They were there as they stand when the batch was first read: that pH they do not move.
  phase.mixture.add_strong_charge(before - charge_at(phase, known.first_ph_).charge);
  add(DriverKind::activity_model, "how ions feel each other", 0, 0, -known.model_below_,
      known.model_above_);
  add(DriverKind::meter, "the meter", 0, 0, -known.bench_.meter_ph, known.bench_.meter_ph);
}

std::optional<WaterPhase> BatchKnowledge::phase_of(const Formula& formula, const Tables& tables,
                                                   const Conditions& conditions,
                                                   Sureness sureness) const {
  auto phase = water_phase_of(formula, tables, conditions, empty() ? sureness : Sureness::known,
                              bench_.scale_g);
  if (!phase || (empty() && sureness == Sureness::left_aside)) return phase;
  add_unlisted_charge(*phase, formula, tables);
  if (empty()) return phase;
  Calibrator::add_bench_drivers(*this, tables, *phase);
  const auto keys = Calibrator::keys_of(*phase);
  std::vector<double> deviates(keys.size(), 0.0);
  std::vector<std::vector<double>> learned(learned_.size(), std::vector<double>(keys.size(), 0.0));
  for (std::size_t d = 0; d < keys.size(); ++d) {
    const auto found = std::ranges::find(keys_, keys[d]);
    if (found == keys_.end()) continue;
    const auto known = static_cast<std::size_t>(found - keys_.begin());
    deviates[d] = deviates_[known];
    for (std::size_t k = 0; k < learned.size(); ++k) learned[k][d] = learned_[k][known];
  }
  MovedPhase::settle(*phase, deviates);
  phase->learned = std::move(learned);
  widen(wider_, *phase);
  if (sureness == Sureness::left_aside) phase->drivers.clear(), phase->learned.clear();
  return phase;
}

Calibration calibrate(const Formula& formula, std::span<const BatchReading> readings,
                      const Tables& tables, const Conditions& conditions, const Bench& bench) {
  require_valid(readings);
  return Calibrator(formula, readings, tables, conditions, bench).run();
}

std::vector<WaterPhase> phases_as_read(const Formula& formula,
                                       std::span<const BatchReading> readings, const Tables& tables,
                                       const Conditions& conditions, const Bench& bench,
                                       ReadingFrame* frame) {
  require_valid(readings);
  ReadingFrame own;
  return Calibrator(formula, readings, tables, conditions, bench).as_read(frame ? *frame : own);
}

double log_evidence(const Formula& formula, std::span<const BatchReading> readings,
                    const Tables& tables, const Conditions& conditions, const Bench& bench) {
  require_valid(readings);
  return Calibrator(formula, readings, tables, conditions, bench).log_evidence();
}

}  // namespace counterion
