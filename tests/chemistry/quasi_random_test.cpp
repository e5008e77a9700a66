// SPDX-License-Identifier: MIT
// Quasi-random points: evenly spread in every dimension, and few of them settle an interval.
#include "rows.hpp"

#include <counterion/chemistry/quasi_random.hpp>
#include <counterion/chemistry/variants.hpp>
#include <counterion/error.hpp>

#include <boost/math/distributions/normal.hpp>
#include <boost/random/sobol.hpp>
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>

using namespace counterion;

namespace {

std::vector<double> uniform(const QuasiRandom& points, std::size_t dimension) {
  std::vector<double> values(points.count());
  points.fill_uniform(dimension, values);
  return values;
}

std::vector<double> normal(const QuasiRandom& points, std::size_t dimension) {
  std::vector<double> values(points.count());
  points.fill_normal(dimension, values);
  return values;
}

}  // namespace

TEST_CASE("every interval of every dimension is met once") {
  for (const std::size_t count : {2u, 8u, 16u, 64u, 1024u}) {
    const QuasiRandom points(50, count);
    for (std::size_t d = 0; d < 50; ++d) {
      auto values = uniform(points, d);
      std::sort(values.begin(), values.end());
      for (std::size_t i = 0; i < count; ++i)
        CHECK(values[i] == doctest::Approx((static_cast<double>(i) + 0.5) / static_cast<double>(count)));
    }
  }
}

TEST_CASE("the first two dimensions fill every elementary rectangle once") {
  const std::size_t bits = 8, count = 1u << bits;
  const QuasiRandom points(2, count, 7);
  const auto x = uniform(points, 0), y = uniform(points, 1);
  for (std::size_t across = 0; across <= bits; ++across) {
    const double columns = std::pow(2.0, static_cast<double>(across)), rows = static_cast<double>(count) / columns;
    std::set<std::pair<int, int>> met;
    for (std::size_t i = 0; i < count; ++i) met.insert({static_cast<int>(x[i] * columns), static_cast<int>(y[i] * rows)});
    CHECK(met.size() == count);
  }
}

TEST_CASE("points are those of Boost's Sobol engine but for the shift of digits") {
  const std::size_t bits = 10, count = 1u << bits, dimensions = 20;
  const QuasiRandom points(dimensions, count);
  boost::random::sobol engine(dimensions);
  std::vector<std::vector<double>> columns;
  for (std::size_t d = 0; d < dimensions; ++d) columns.push_back(uniform(points, d));
  const auto interval = [&](double value) { return static_cast<std::uint64_t>(value * static_cast<double>(count)); };
  for (std::size_t i = 1; i < count; ++i)  // the engine leaves out the point 0
    for (std::size_t d = 0; d < dimensions; ++d)
      REQUIRE((interval(columns[d][i]) ^ interval(columns[d][0])) == engine() >> (64 - bits));
}

TEST_CASE("normal deviates are the distribution's quantiles") {
  const QuasiRandom points(3, 4096);
  auto values = normal(points, 2);
  std::sort(values.begin(), values.end());
  const boost::math::normal standard;
  for (const std::size_t i : {0u, 1u, 100u, 2047u, 2048u, 4095u})
    CHECK(values[i] ==
          doctest::Approx(boost::math::quantile(standard, (static_cast<double>(i) + 0.5) / 4096)).epsilon(1e-12));
  CHECK(std::abs(std::accumulate(values.begin(), values.end(), 0.0)) < 1e-9);
}

TEST_CASE("points can be had some at a time") {
  const QuasiRandom points(3, 256, 5);
  const auto whole = uniform(points, 2);
  for (const std::size_t first : {0u, 1u, 15u, 16u, 100u, 255u, 256u})
    for (const std::size_t size : {0u, 1u, 3u, 17u, 128u}) {
      std::vector<double> some(std::min(size, 256 - first));
      points.fill_uniform(2, some, first);
      CHECK(std::equal(some.begin(), some.end(), whole.begin() + static_cast<std::ptrdiff_t>(first)));
    }
}

TEST_CASE("a seed shifts the points, the same seed alike") {
  const QuasiRandom one(4, 64, 1), again(4, 64, 1), other(4, 64, 2);
  CHECK(uniform(one, 3) == uniform(again, 3));
  CHECK(uniform(one, 3) != uniform(other, 3));
}

TEST_CASE("a spread of pH settles with few points: those of four seeds agree") {
  const Protolyte citric(0, {{3.128}, {4.761}, {6.396}}, "citric acid");
  const std::vector<Amount> amounts{{citric, mol_per_kg(0.1)}, {StrongIon{"sodium", 1}, mol_per_kg(0.15)}};
  const std::size_t count = 1024;
  std::array<double, 4> p05{};
  for (std::size_t seed = 0; seed < 4; ++seed) {
    const QuasiRandom points(5, count, seed);
    auto acid = normal(points, 0), sodium = normal(points, 1);
    std::vector<std::vector<double>> pK{normal(points, 2), normal(points, 3), normal(points, 4)};
    for (double& value : acid) value = 0.1 * (1 + 0.02 * value);
    for (double& value : sodium) value = 0.15 * (1 + 0.02 * value);
    Variants variants(Solution(amounts), count);
    variants.molality(0, acid).molality(1, sodium);
    for (std::size_t step = 0; step < 3; ++step) {
      for (double& value : pK[step]) value = citric.steps()[step].pK + 0.03 * value;
      variants.pK(0, step, pK[step]);
    }
    std::vector<double> ph(count);
    solve_many(variants, ph);
    std::sort(ph.begin(), ph.end());
    p05[seed] = ph[51];
  }
  const auto [least, most] = std::minmax_element(p05.begin(), p05.end());
  CHECK(*most - *least < 0.003);
}

TEST_CASE("what is no number of points or dimensions is refused, all at once") {
  CHECK_NOTHROW(QuasiRandom(1, 2));
  CHECK_NOTHROW(QuasiRandom(3667, 2));
  for (const std::size_t count : {0u, 1u, 3u, 1000u, 2097152u}) CHECK_THROWS_AS(QuasiRandom(1, count), BadInput);
  try {
    QuasiRandom(0, 3);
    FAIL("nothing was thrown");
  } catch (const BadInput& error) {
    CHECK(error.problems().size() == 2);
  }
  CHECK_THROWS_AS(QuasiRandom(4000, 4), BadInput);
  const QuasiRandom points(2, 8);
  std::vector<double> right(8), wrong(9);
  CHECK_THROWS_AS(points.fill_normal(2, right), std::out_of_range);
  CHECK_THROWS_AS(points.fill_normal(0, right, 1), std::out_of_range);
  CHECK_THROWS_AS(points.fill_uniform(0, wrong), std::out_of_range);
}
