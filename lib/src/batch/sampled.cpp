// SPDX-License-Identifier: MIT
#include <counterion/batch/sampled.hpp>
#include <counterion/batch/prediction.hpp>
#include <counterion/chemistry/quasi_random.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

/// Takes out of independent deviates what is known of them: with directions v that stand square to each other,
/// the root of I - Σ v vᵀ.
void keep_what_is_learned(const std::vector<std::vector<double>>& learned, std::vector<double>& deviates) {
  for (const auto& v : learned) {
    const double known = std::inner_product(v.begin(), v.end(), v.begin(), 0.0);
    if (!(known > 0)) continue;
    const double along = std::inner_product(v.begin(), v.end(), deviates.begin(), 0.0);
    const double factor = (1 - std::sqrt(std::max(0.0, 1 - known))) / known * along;
    for (std::size_t d = 0; d < deviates.size(); ++d) deviates[d] -= factor * v[d];
  }
}

/// How far the activity model is off, where no driver says it.
double model_off(double deviate, const Prediction& prediction) {
  return deviate / deviates_to_end * (deviate < 0 ? prediction.model_below : prediction.model_above);
}

}  // namespace

double SampledPH::quantile(double share) const {
  const double place = std::clamp(share, 0.0, 1.0) * static_cast<double>(draws.size()) - 0.5;
  const auto last = static_cast<double>(draws.size() - 1);
  const double below = std::floor(std::clamp(place, 0.0, last));
  const auto i = static_cast<std::size_t>(below), j = std::min(i + 1, draws.size() - 1);
  return draws[i] + std::clamp(place - below, 0.0, 1.0) * (draws[j] - draws[i]);
}

double SampledPH::share_between(double low, double high) const {
  const auto first = std::ranges::lower_bound(draws, low), last = std::ranges::upper_bound(draws, high);
  return static_cast<double>(std::max<std::ptrdiff_t>(0, last - first)) / static_cast<double>(draws.size());
}

SampledPH sample_ph(const WaterPhase& phase, std::size_t count, std::uint64_t seed) {
  const Prediction prediction = predict(phase, 0);
  const std::size_t drivers = phase.drivers.size();
  const QuasiRandom random(drivers + 1, count, seed);
  std::vector<std::vector<double>> columns(drivers + 1, std::vector<double>(count));
  for (std::size_t d = 0; d <= drivers; ++d) random.fill_normal(d, columns[d]);
  MovedPhase moved(phase);
  SampledPH sampled;
  sampled.draws.reserve(count);
  std::vector<double> deviates(drivers);
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t d = 0; d < drivers; ++d) deviates[d] = columns[d][i];
    keep_what_is_learned(phase.learned, deviates);
    sampled.draws.push_back(moved.ph_at(deviates) + model_off(columns[drivers][i], prediction));
  }
  std::ranges::sort(sampled.draws);
  return sampled;
}

}  // namespace counterion
