// SPDX-License-Identifier: MIT
#include <counterion/chemistry/quasi_random.hpp>
#include <counterion/error.hpp>

#include <fmt/format.h>
#include <boost/math/special_functions/erf.hpp>
#include <boost/random/sobol.hpp>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <random>
#include <stdexcept>

namespace counterion {
namespace {

constexpr std::size_t most_dimensions = 3667;  // for which Boost has directions

void require_valid(std::size_t dimensions, std::size_t count) {
  std::vector<Problem> problems;
  const auto say = [&](std::string found, std::string expected) {
    problems.push_back({{}, std::move(found), std::move(expected), {}});
  };
  if (dimensions < 1 || dimensions > most_dimensions)
    say(fmt::format("{} dimensions", dimensions), fmt::format("1 to {}", most_dimensions));
  if (!std::has_single_bit(count) || count < 2 || count > (1u << 20))
    say(fmt::format("{} points", count), "a power of two, 2 to 1048576");
  if (!problems.empty()) throw BadInput(std::move(problems));
}

using InDoubles = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

/// Point number n > 0 in all dimensions, as numbers of 64 bits.
std::vector<std::uint64_t> point(boost::random::sobol& engine, std::size_t n) {
  engine.seed(n - 1);  // the engine leaves out the point 0
  std::vector<std::uint64_t> coordinates(engine.dimension());
  for (auto& coordinate : coordinates) coordinate = engine();
  return coordinates;
}

}  // namespace

QuasiRandom::QuasiRandom(std::size_t dimensions, std::size_t count, std::uint64_t seed) : count_(count) {
  require_valid(dimensions, count);
  bits_ = static_cast<std::size_t>(std::countr_zero(count));
  std::mt19937_64 random(seed);
  for (std::size_t d = 0; d < dimensions; ++d)
    shift_.push_back(static_cast<std::uint32_t>(random() >> (64 - bits_)));
  // In the engine's order (Gray's), point 2^j is direction j and, but for the first, direction j - 1.
  boost::random::sobol engine(dimensions);
  directions_.resize(dimensions * bits_);
  for (std::size_t j = 0; j < bits_; ++j) {
    const auto coordinates = point(engine, std::size_t{1} << j);
    for (std::size_t d = 0; d < dimensions; ++d) {
      auto* direction = &directions_[d * bits_ + j];
      *direction = static_cast<std::uint32_t>(coordinates[d] >> (64 - bits_)) ^ (j > 0 ? direction[-1] : 0);
    }
  }
  for (std::size_t i = 0; i < count; ++i)
    uniform_.push_back((static_cast<double>(i) + 0.5) / static_cast<double>(count));
  normal_.resize(count);
  for (std::size_t i = 0; i < count / 2; ++i) {
    const double below = boost::math::erf_inv(2 * uniform_[i] - 1, InDoubles()) * std::sqrt(2.0);
    normal_[i] = below, normal_[count - 1 - i] = -below;
  }
}

void QuasiRandom::fill(std::size_t dimension, std::span<double> values, std::size_t first,
                       const std::vector<double>& by_interval) const {
  if (dimension >= dimensions()) throw std::out_of_range("there is no such dimension");
  if (first > count_ || values.size() > count_ - first) throw std::out_of_range("there are not so many points");
  const auto* direction = &directions_[dimension * bits_];
  // From the first point of a block the others differ alike in all blocks.
  constexpr std::size_t longest = 64;
  const std::size_t block = std::min(longest, count_);
  std::array<std::uint32_t, longest> pattern{};
  for (std::size_t j = 1; j < block; ++j) pattern[j] = pattern[j - 1] ^ direction[std::countr_zero(j)];
  for (std::size_t done = 0; done < values.size();) {
    const std::size_t here = (first + done) % block, more = std::min(block - here, values.size() - done);
    std::uint32_t base = shift_[dimension];
    const std::size_t start = first + done - here, code = start ^ (start >> 1);  // Gray's
    for (std::size_t bit = 0; bit < bits_; ++bit)
      if (code >> bit & 1) base ^= direction[bit];
    for (std::size_t j = 0; j < more; ++j) values[done + j] = by_interval[base ^ pattern[here + j]];
    done += more;
  }
}

}  // namespace counterion
