// SPDX-License-Identifier: MIT
#include "titrated.hpp"

#include <counterion/chemistry/nonnegative_least_squares.hpp>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

constexpr int group_count = last_group_pK - first_group_pK + 1;

/// Share of an acid group that has lost its proton; the ion's activity by Davies at 25 °C.
double ionised_share(double pK, const UnexplainedCharge& point) {
  const double root = std::sqrt(point.ionic_strength);
  const double minus_log_gamma =
      0.509 * (root / (1 + root) - 0.3 * std::min(point.ionic_strength, 0.5));
  return 1 / (1 + std::pow(10.0, pK - minus_log_gamma - point.ph));
}

bool is_near(double pK, std::span<const UnexplainedCharge> points) {
  return std::any_of(points.begin(), points.end(), [&](const auto& point) { return std::abs(point.ph - pK) <= 1; });
}

/// A column for the strong charge, and one for each group: nothing where no point is near it.
Columns columns_of(std::span<const UnexplainedCharge> points) {
  Columns columns{std::vector<double>(points.size(), 1.0)};
  for (int pK = first_group_pK; pK <= last_group_pK; ++pK) {
    auto& column = columns.emplace_back();
    const bool near = is_near(pK, points);
    for (const auto& point : points) column.push_back(near ? -ionised_share(pK, point) : 0);
  }
  return columns;
}

double left_unexplained(const Columns& columns, const std::vector<double>& found, const std::vector<double>& wanted) {
  double squares = 0;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    double left = wanted[i];
    for (std::size_t j = 0; j < columns.size(); ++j) left -= found[j] * columns[j][i];
    squares += left * left;
  }
  return std::sqrt(squares / static_cast<double>(wanted.size()));
}

}  // namespace

TitratedGroups explain(std::span<const UnexplainedCharge> points) {
  if (points.empty()) return {0, std::vector<double>(group_count, 0), 0};
  std::vector<double> wanted;
  for (const auto& point : points) wanted.push_back(point.mol_per_g);
  const Columns columns = columns_of(points);
  const auto found = nonnegative_least_squares(columns, wanted, {true});
  return {found[0], {found.begin() + 1, found.end()}, left_unexplained(columns, found, wanted)};
}

}  // namespace counterion
