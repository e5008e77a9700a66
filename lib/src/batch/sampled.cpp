// SPDX-License-Identifier: MIT
#include <counterion/batch/sampled.hpp>
#include <counterion/batch/prediction.hpp>
#include <counterion/chemistry/quasi_random.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

/// Takes out of independent deviates what is known of them: with directions v that stand square to
/// each other, the root of I - Σ v vᵀ.
void keep_what_is_learned(const std::vector<std::vector<double>>& learned,
                          std::vector<double>& deviates) {
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
  return deviate / deviates_to_end *
         (deviate < 0 ? prediction.model_below : prediction.model_above);
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
  const auto first = std::ranges::lower_bound(draws, low),
             last = std::ranges::upper_bound(draws, high);
  return static_cast<double>(std::max<std::ptrdiff_t>(0, last - first)) /
         static_cast<double>(draws.size());
}

namespace {

/// Calls `work` with the deviates of all drivers, and with those of so many more dimensions behind
/// them.
template <class Work>
void for_each_draw(const WaterPhase& phase, std::size_t more, std::size_t count, std::uint64_t seed,
                   const Work& work) {
  const std::size_t drivers = phase.drivers.size();
  const QuasiRandom random(drivers + more, count, seed);
  std::vector<std::vector<double>> columns(drivers + more, std::vector<double>(count));
  for (std::size_t d = 0; d < columns.size(); ++d) random.fill_normal(d, columns[d]);
  std::vector<double> deviates(drivers), others(more);
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t d = 0; d < drivers; ++d) deviates[d] = columns[d][i];
    for (std::size_t d = 0; d < more; ++d) others[d] = columns[drivers + d][i];
    keep_what_is_learned(phase.learned, deviates);
    work(deviates, others);
  }
}

/// The charge of a mixture at a pH; a model that must settle first is left to Davies, near enough
/// for a difference.
class ChargeOf {
 public:
  explicit ChargeOf(const WaterPhase& phase)
      : phase_(phase), choice_(model_choice(phase.conditions)) {
    if (choice_.activity == Activity::specific_ion) choice_.activity = Activity::davies;
  }
  double operator()(const chemistry::Mixture& mixture, double ph, double sqrt_ionic) const {
    return chemistry::with_model(choice_, [&](const auto& model) {
      if constexpr (requires { model.at(0.0); })
        return balance(mixture, chemistry::Solvent(phase_.water, mixture), std::pow(10.0, -ph),
                       model.at(sqrt_ionic))
            .charge();
      else
        return 0.0;
    });
  }

 private:
  const WaterPhase& phase_;
  chemistry::ModelChoice choice_;
};

}  // namespace

SampledPH sample_ph(const WaterPhase& phase, std::size_t count, std::uint64_t seed) {
  const Prediction prediction = predict(phase, 0);
  MovedPhase moved(phase, prediction.buffer_capacity);
  SampledPH sampled;
  sampled.draws.reserve(count);
  for_each_draw(phase, 1, count, seed, [&](const auto& deviates, const auto& others) {
    sampled.draws.push_back(moved.ph_at(deviates) + model_off(others[0], prediction));
  });
  std::ranges::sort(sampled.draws);
  return sampled;
}

std::vector<double> sample_charge_between(const WaterPhase& phase, double from, double from_half,
                                          double to, std::size_t count, std::uint64_t seed) {
  const double sqrt_ionic = std::sqrt(predict(phase, 0).ionic_strength);
  const ChargeOf charge(phase);
  MovedPhase moved(phase);
  std::vector<double> draws;
  draws.reserve(count);
  for_each_draw(phase, 1, count, seed, [&](const auto& deviates, const auto& others) {
    const auto& mixture = moved.at(deviates);
    const double start = from + others[0] / deviates_to_end * from_half;
    draws.push_back(charge(mixture, to, sqrt_ionic) - charge(mixture, start, sqrt_ionic));
  });
  std::ranges::sort(draws);
  return draws;
}

}  // namespace counterion
