// SPDX-License-Identifier: MIT
// How probable readings are: against plain draws of everything that is not sure.
#include "../answers/samples.hpp"

#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/moved_phase.hpp>

#include <doctest/doctest.h>

#include <chrono>
#include <cmath>
#include <random>
#include <tuple>

using namespace counterion;

namespace {

const Tables& built_in = Tables::built_in();
constexpr double pi = 3.14159265358979323846;

/// The priors of what no line accounts for, as levels of `batch` have them.
double batch_level(std::string_view kind) {
  for (const auto& row : built_in.levels_of("batch"))
    if (row.kind == kind && row.rank == 1) return row.value;
  return 0;
}

/// One batch in many: the formula as it stood at each reading, moved by the same deviates.
class Batches {
 public:
  Batches(const Formula& formula, std::span<const BatchReading> readings, const Bench& bench)
      : bench_(bench) {
    std::vector<Portion> portions;
    for (const auto& reading : readings)
      for (const auto& portion : reading.added) portions.push_back({portion.adjuster, 0});
    std::size_t p = 0;
    for (const auto& reading : readings) {
      for (const auto& portion : reading.added) portions[p++].grams = portion.grams;
      add(formula, with_portions(formula, portions, built_in));
    }
  }
  /// The pH of each reading for one draw, the meter left aside.
  std::vector<double> drawn(std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    const auto& first = phases_.front();
    std::vector<double> deviates(first.drivers.size());
    for (double& deviate : deviates) deviate = normal(random);
    std::vector<double> groups;
    for (std::size_t k = 0; k < 11; ++k) groups.push_back(std::abs(normal(random)) * unit_);
    const double model = normal(random) / deviates_to_end;
    std::vector<double> phs;
    for (auto& phase : phases_) {
      WaterPhase moved = phase;
      const double before = charge_at(moved, own_).charge;
      for (int pK = 2; pK <= 12; ++pK)
        moved.mixture.protolytes[buffer_group_in(moved, pK, built_in)].molality +=
            groups[static_cast<std::size_t>(pK - 2)];
      // they were there as the batch stands: its expected pH they do not move
      moved.mixture.add_strong_charge(before - charge_at(moved, own_).charge);
      phs.push_back(MovedPhase(moved).ph_at(of(phase, deviates)) +
                    model * (model < 0 ? below_ : above_));
    }
    return phs;
  }

 private:
  void add(const Formula& formula, const Formula& now) {
    auto phase = *water_phase_of(now, built_in, {}, Sureness::known, bench_.scale_g);
    add_unlisted_charge(phase, formula, built_in);
    if (phases_.empty()) {
      const auto own = predict(phase, 0);
      own_ = own.ph, below_ = own.model_below, above_ = own.model_above;
      double guessed = 0;
      for (const auto& driver : phase.drivers)
        if (driver.guessed) guessed += 0.5 * (driver.high - driver.low);
      unit_ = std::hypot(batch_level("unlisted-buffer") / 1000,
                         batch_level("unlisted-buffer-share") * guessed) /
              deviates_to_end;
    }
    std::erase_if(phase.drivers,
                  [](const Driver& d) { return d.kind == DriverKind::carbon_dioxide; });
    phases_.push_back(std::move(phase));
  }
  /// Deviates in the order of a later phase, whose drivers are those of the first.
  std::vector<double> of(const WaterPhase& phase, const std::vector<double>& deviates) const {
    std::vector<double> ordered;
    for (const auto& driver : phase.drivers) {
      double deviate = 0;
      for (std::size_t d = 0; d < phases_.front().drivers.size(); ++d) {
        const auto& known = phases_.front().drivers[d];
        if (known.kind == driver.kind && known.what.substr(0, 12) == driver.what.substr(0, 12) &&
            known.item == driver.item && known.step == driver.step &&
            known.subject == driver.subject)
          deviate = deviates[d];
      }
      ordered.push_back(deviate);
    }
    return ordered;
  }

  Bench bench_;
  std::vector<WaterPhase> phases_;
  double own_ = 7, below_ = 0, above_ = 0, unit_ = 0;
};

/// Logarithm of the density of the readings, each draw spread by what a reading is off by itself.
double drawn_log_density(const Formula& formula, std::span<const BatchReading> readings,
                         const Bench& bench, std::size_t count) {
  Batches batches(formula, readings, bench);
  std::mt19937_64 random(12345);
  std::normal_distribution<double> normal;
  const double usual =
      std::max(batch_level("reading-repeatability"), 0.3 * bench.meter_ph) / deviates_to_end;
  double sum = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const auto phs = batches.drawn(random);
    // the meter is drawn often for each batch: a solve costs more
    constexpr int meters = 8;
    for (int m = 0; m < meters; ++m) {
      const double meter = normal(random) / deviates_to_end * bench.meter_ph;
      double density = 1;
      for (std::size_t n = 0; n < phs.size(); ++n) {
        const double noise = std::max(usual, readings[n].half_ph.value_or(0) / deviates_to_end);
        const double off = (readings[n].ph - meter - phs[n]) / noise;
        density *= std::exp(-0.5 * off * off) / (noise * std::sqrt(2 * pi));
      }
      sum += density / meters;
    }
  }
  return std::log(sum / static_cast<double>(count));
}

}  // namespace

// The serum is unbuffered, its intervals are of two unequal halves and the activity model is unsure
// by 0.4: Laplace's approximation is coarser there.
TEST_CASE("the evidence of one reading is its density among drawn batches") {
  for (const auto& name : {"hand-gel", "hand-wash", "heel-cream", "brightening-serum"}) {
    const auto formula = samples::sample(name);
    const auto own = predict(*water_phase_of(formula, built_in), 0);
    for (const double at : {-1.0, 0.0, 1.0}) {
      CAPTURE(name);
      CAPTURE(at);
      const double reach = at < 0 ? own.ph - own.p05 : own.p95 - own.ph;
      const std::vector<BatchReading> readings{{own.ph + at * reach}};
      const double evidence = log_evidence(formula, readings, built_in),
                   drawn = drawn_log_density(formula, readings, {}, 4000);
      MESSAGE(std::string(name), " at ", readings[0].ph, ": ", evidence, ", drawn ", drawn);
      CHECK(std::abs(evidence - drawn) < (name == std::string("brightening-serum") ? 0.5 : 0.3));
    }
  }
}

TEST_CASE("the evidence of two readings is their density together") {
  const Adjuster lye{"sodium-hydroxide", 10}, acid{"citric-acid", 50};
  for (const auto& [name, adjuster, grams] :
       {std::tuple{"hand-gel", lye, 0.4}, std::tuple{"heel-cream", lye, 2.0},
        std::tuple{"hand-wash", acid, 0.2}}) {
    const auto formula = samples::sample(name);
    const std::vector<Portion> portions{{adjuster, grams}};
    const double first = ph_of(*water_phase_of(formula, built_in)),
                 second =
                     ph_of(*water_phase_of(with_portions(formula, portions, built_in), built_in));
    for (const double off : {-0.1, 0.0, 0.1}) {
      CAPTURE(name);
      CAPTURE(off);
      std::vector<BatchReading> readings{{first + off}, {second + 1.2 * off, {{adjuster, grams}}}};
      readings[0].half_ph = readings[1].half_ph = 0.1;  // draws would be too few for less
      const double evidence = log_evidence(formula, readings, built_in),
                   drawn = drawn_log_density(formula, readings, {}, 6000);
      MESSAGE(std::string(name), " at ", readings[0].ph, " and ", readings[1].ph, ": ", evidence,
              ", drawn ", drawn);
      CHECK(std::abs(evidence - drawn) < 0.3);
    }
  }
}

TEST_CASE("a density over all readings sums to one") {
  for (const auto& name : {"hand-gel", "brightening-serum", "hand-wash", "heel-cream"}) {
    CAPTURE(name);
    const auto formula = samples::sample(name);
    constexpr double step = 0.02;
    double sum = 0;
    for (double ph = 0.01; ph < 14; ph += step) {
      const std::vector<BatchReading> readings{{ph}};
      sum += step * std::exp(log_evidence(formula, readings, built_in));
    }
    MESSAGE(std::string(name), ": ", sum);
    CHECK(std::abs(std::log(sum)) < 0.2);
  }
}

TEST_CASE("what was left out is told by the evidence") {
  const auto formula =
      samples::formula_of({{"sodium-benzoate", 1}, {"citric-acid", 0.3}, {"glycerin", 3}});
  auto without = formula;
  without.items[0].percent = 0;
  const std::vector<BatchReading> readings{{ph_of(*water_phase_of(without, built_in))}};
  CHECK(log_evidence(without, readings, built_in) > log_evidence(formula, readings, built_in) + 3);
}

TEST_CASE("no reading, no evidence; no water, no reading") {
  CHECK(log_evidence(samples::sample("hand-gel"), {}, built_in) == 0);
  Formula dry;
  dry.items.push_back({});
  dry.items[0].written = dry.items[0].ingredient = "citric-acid";
  dry.items[0].percent = 100;
  const std::vector<BatchReading> readings{{5}};
  CHECK(std::isinf(log_evidence(dry, readings, built_in)));
}

TEST_CASE("evidence is cheap") {
  const auto formula = samples::sample("heel-cream");
  const std::vector<BatchReading> readings{{5.2}};
  const auto start = std::chrono::steady_clock::now();
  constexpr int times = 50;
  double sum = 0;
  for (int i = 0; i < times; ++i) sum += log_evidence(formula, readings, built_in);
  const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
  MESSAGE((took.count() / times), " ms a call");
  CHECK(std::isfinite(sum));
}
