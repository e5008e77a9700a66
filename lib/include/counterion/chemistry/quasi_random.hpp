// SPDX-License-Identifier: MIT
// Numbers that fill a space of many uncertainties evenly, for intervals by sampling.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace counterion {

/// The first 2^k points of a Sobol sequence, a column for each dimension. In every dimension alone they stand
/// in the middles of 2^k intervals of equal probability, each once. Directions are those of Boost.Random
/// (after Joe and Kuo, SIAM J. Sci. Comput. 30, 2635, 2008; from memory), shifted digit by digit by fixed
/// random numbers.
class QuasiRandom {
 public:
  /// `count` is a power of two, 2 to 2^20; `seed` chooses the shift, so that the spread over seeds shows how
  /// sure a result is. Throws BadInput.
  QuasiRandom(std::size_t dimensions, std::size_t count, std::uint64_t seed = 0);

  std::size_t dimensions() const noexcept { return shift_.size(); }
  std::size_t count() const noexcept { return count_; }

  /// Deviates of a normal distribution of mean 0 and variance 1: those of the points from `first` on, as many
  /// as there is room for. Throws std::out_of_range where there is no such dimension or there are not so many
  /// points.
  void fill_normal(std::size_t dimension, std::span<double> deviates, std::size_t first = 0) const {
    fill(dimension, deviates, first, normal_);
  }
  /// Values between 0 and 1, ends left out. Throws as `fill_normal` does.
  void fill_uniform(std::size_t dimension, std::span<double> values, std::size_t first = 0) const {
    fill(dimension, values, first, uniform_);
  }

 private:
  void fill(std::size_t dimension, std::span<double> values, std::size_t first,
            const std::vector<double>& by_interval) const;

  std::size_t count_, bits_;
  std::vector<std::uint32_t> directions_;    ///< `bits_` for each dimension, in whole intervals
  std::vector<std::uint32_t> shift_;         ///< one for each dimension
  std::vector<double> uniform_, normal_;     ///< of each interval
};

}  // namespace counterion
