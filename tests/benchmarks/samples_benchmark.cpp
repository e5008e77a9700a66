// SPDX-License-Identifier: MIT
// How sure is the pH of a gel cream? All its amounts and pK are drawn anew, 4096 times.
#include "solutions.hpp"

#include <benchmark/benchmark.h>
#include <counterion/chemistry/quasi_random.hpp>
#include <counterion/chemistry/variants.hpp>

#include <algorithm>
#include <array>
#include <stdexcept>

using namespace benchmarks;
using namespace counterion;

namespace {

/// A formula's uncertain numbers, drawn for so many samples at a time that they stay near the processor.
class Samples {
 public:
  static constexpr std::size_t at_once = 512;

  explicit Samples(const std::vector<Uncertain>& formula) : variants_(Solution(amounts_of(formula)), at_once) {
    for (const auto& ingredient : formula) {
      const double molality = in_mol_per_kg(ingredient.amount.molality);
      columns_.push_back({molality, molality * ingredient.amount_deviation, {}});
      for (const double pK : ingredient.pK()) columns_.push_back({pK, ingredient.pK_deviation, {}});
    }
    for (auto& column : columns_) column.values.resize(at_once);
    auto column = columns_.begin();
    for (std::size_t i = 0; i < formula.size(); ++i) {
      variants_.molality(i, (column++)->values);
      for (std::size_t step = 0; step < formula[i].pK().size(); ++step) variants_.pK(i, step, (column++)->values);
    }
  }
  std::size_t numbers() const { return columns_.size(); }

  std::vector<double> ph(std::size_t count) {
    const QuasiRandom points(columns_.size(), count);
    std::vector<double> found(count);
    std::array<Status, at_once> status;
    for (std::size_t first = 0; first < count; first += at_once) {
      draw(points, first);
      solve_many(variants_, std::span(found).subspan(first, at_once), {}, status);
      if (std::count(status.begin(), status.end(), Status::solved) != std::ssize(status))
        throw std::logic_error("a sample was not solved");
    }
    return found;
  }

 private:
  struct Column {
    double mean, deviation;
    std::vector<double> values;
  };

  void draw(const QuasiRandom& points, std::size_t first) {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      auto& [mean, deviation, values] = columns_[i];
      points.fill_normal(i, values, first);
      for (double& value : values) value = mean + deviation * value;
    }
  }
  std::vector<Column> columns_;
  Variants variants_;
};

double quantile(std::vector<double> values, double share) {
  const auto place = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size()));
  std::nth_element(values.begin(), place, values.end());
  return *place;
}

void gel_cream_samples(benchmark::State& state) {
  const auto formula = gel_cream();
  const auto count = static_cast<std::size_t>(state.range());
  for (auto _ : state) benchmark::DoNotOptimize(Samples(formula).ph(count));
  Samples samples(formula);
  const auto ph = samples.ph(count);
  state.counters["numbers"] = static_cast<double>(samples.numbers());
  state.counters["pH p05"] = quantile(ph, 0.05);
  state.counters["pH p95"] = quantile(ph, 0.95);
}
BENCHMARK(gel_cream_samples)->Arg(4096);

}  // namespace
