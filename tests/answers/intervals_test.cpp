// SPDX-License-Identifier: MIT
#include <counterion/judgement/interval.hpp>

#include <doctest/doctest.h>

#include <random>

using namespace counterion;

namespace {

/// 2 to 200 intervals, mostly few; ends on a coarse grid, so that touching and equal ends are frequent.
std::vector<Interval> random_family(std::mt19937& random) {
  std::uniform_int_distribution<int> few(2, 9), many(10, 200), seldom(0, 19), end(0, 28), weight(1, 3), open(0, 9);
  std::vector<Interval> family(static_cast<std::size_t>(seldom(random) == 0 ? many(random) : few(random)));
  for (auto& interval : family) {
    const double a = end(random) / 2.0, b = end(random) / 2.0;
    if (open(random) != 0) interval.low = std::min(a, b);
    if (open(random) != 0) interval.high = std::max(a, b);
    interval.weight = weight(random);
  }
  return family;
}

double weight_at(const std::vector<Interval>& family, double ph) {
  double weight = 0;
  for (const auto& interval : family) weight += interval.contains(ph) ? interval.weight : 0;
  return weight;
}

double heaviest_on_grid(const std::vector<Interval>& family) {
  double heaviest = 0;
  for (int k = -4; k <= 60; ++k) heaviest = std::max(heaviest, weight_at(family, k / 4.0));
  return heaviest;
}

template <class Work>
void for_random_families(Work&& work) {
  std::mt19937 random(20261125);
  for (int round = 0; round < 4000; ++round) work(random_family(random));
}

}  // namespace

TEST_CASE("the intersection holds exactly the points that every interval holds") {
  for_random_families([](const auto& family) {
    const Interval common = intersection(family);
    for (int k = -4; k <= 60; ++k) {
      const bool in_all = std::all_of(family.begin(), family.end(),
                                      [&](const auto& i) { return i.contains(k / 4.0); });
      REQUIRE(common.contains(k / 4.0) == in_all);
    }
  });
}

TEST_CASE("an empty intersection always has a disjoint pair, and only then (Helly)") {
  for_random_families([](const auto& family) {
    REQUIRE(intersection(family).empty() == !disjoint_pairs(family).empty());
  });
}

TEST_CASE("disjoint pairs are all pairs that do not meet, with their gap, widest first") {
  for_random_families([](const auto& family) {
    std::size_t apart = 0;
    for (std::size_t a = 0; a < family.size(); ++a)
      for (std::size_t b = 0; b < a; ++b)
        apart += std::max(family[a].low, family[b].low) > std::min(family[a].high, family[b].high);
    const auto pairs = disjoint_pairs(family);
    REQUIRE(pairs.size() == apart);
    for (std::size_t k = 0; k < pairs.size(); ++k) {
      REQUIRE(pairs[k].gap == family[pairs[k].above].low - family[pairs[k].below].high);
      if (k > 0) REQUIRE(pairs[k].gap <= pairs[k - 1].gap);
    }
  });
}

TEST_CASE("the heaviest point covers as much weight as any, and leaves out the rest") {
  for_random_families([](const auto& family) {
    const Cover cover = heaviest_point(family);
    REQUIRE(cover.weight == heaviest_on_grid(family));
    const double inside = std::isfinite(cover.low) ? cover.low : std::min(cover.high, 0.0);
    REQUIRE(weight_at(family, inside) == cover.weight);
    if (std::isfinite(cover.high)) REQUIRE(weight_at(family, cover.high) == cover.weight);
    std::size_t outside = 0;
    for (const auto& interval : family) outside += !interval.contains(inside);
    REQUIRE(cover.left_out.size() == outside);
  });
}

TEST_CASE("pairs are counted as they are listed, and the widest is the first of the list") {
  for_random_families([](const auto& family) {
    const auto pairs = disjoint_pairs(family);
    REQUIRE(count_disjoint_pairs(family) == pairs.size());
    const auto widest = widest_gap(family);
    REQUIRE(widest.has_value() == !pairs.empty());
    if (widest) REQUIRE(widest->gap == pairs.front().gap);
  });
}

TEST_CASE("no point leaves out less than one of the peaks, and every peak holds what it says") {
  for_random_families([](const auto& family) {
    const auto all = peaks(family);
    double heaviest = 0;
    for (const auto& peak : all) {
      const double inside = std::isfinite(peak.low) ? peak.low : std::min(peak.high, 0.0);
      REQUIRE(weight_at(family, inside) == peak.weight);
      heaviest = std::max(heaviest, peak.weight);
    }
    REQUIRE(heaviest == heaviest_on_grid(family));
    REQUIRE(std::ranges::is_sorted(all, {}, &Stretch::low));
  });
}

TEST_CASE("what a peak leaves out has no point in common with it: nothing can be added") {
  for_random_families([](const auto& family) {
    for (const auto& peak : peaks(family))
      for (const std::size_t left : left_out_of(peak, family))
        REQUIRE(intersection(std::vector{Interval{peak.low, peak.high}, family[left]}).empty());
  });
}
