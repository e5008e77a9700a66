// SPDX-License-Identifier: MIT
#include "titrated.hpp"

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

constexpr int group_count = last_group_pK - first_group_pK + 1;
constexpr int sweeps = 4000;

/// Share of an acid group that has lost its proton; the ion's activity by Davies at 25 °C.
double ionised_share(double pK, const UnexplainedCharge& point) {
  const double root = std::sqrt(point.ionic_strength);
  const double minus_log_gamma =
      0.509 * (root / (1 + root) - 0.3 * std::min(point.ionic_strength, 0.5));
  return 1 / (1 + std::pow(10.0, pK - minus_log_gamma - point.ph));
}

/// One unknown after the other set to its best value, again and again: it needs no matrix, and an
/// amount that would go below zero stays at zero.
class Fit {
 public:
  explicit Fit(std::span<const UnexplainedCharge> points) : points_(points), left_(points.size()) {
    for (std::size_t i = 0; i < points.size(); ++i) left_[i] = points[i].mol_per_g;
    found_.mol_per_g.assign(group_count, 0);
    for (int group = 0; group < group_count; ++group) {
      auto& column = columns_.emplace_back();
      for (const auto& point : points)
        column.push_back(-ionised_share(first_group_pK + group, point));
    }
  }

  TitratedGroups run() && {
    for (int sweep = 0; sweep < sweeps; ++sweep) {
      improve_charge();
      for (int group = 0; group < group_count; ++group)
        if (is_near(first_group_pK + group)) improve(static_cast<std::size_t>(group));
    }
    double squares = 0;
    for (const double left : left_) squares += left * left;
    found_.rms_mol_per_g = std::sqrt(squares / static_cast<double>(left_.size()));
    return std::move(found_);
  }

 private:
  bool is_near(double pK) const {
    return std::any_of(points_.begin(), points_.end(),
                       [&](const auto& point) { return std::abs(point.ph - pK) <= 1; });
  }
  void improve_charge() {
    double mean = 0;
    for (const double left : left_) mean += left / static_cast<double>(left_.size());
    found_.strong_charge_mol_per_g += mean;
    for (double& left : left_) left -= mean;
  }
  void improve(std::size_t group) {
    const auto& column = columns_[group];
    double along = 0, squares = 0;
    for (std::size_t i = 0; i < column.size(); ++i)
      along += column[i] * left_[i], squares += column[i] * column[i];
    auto& amount = found_.mol_per_g[group];
    const double step = std::max(-amount, squares > 0 ? along / squares : 0);
    amount += step;
    for (std::size_t i = 0; i < column.size(); ++i) left_[i] -= step * column[i];
  }

  std::span<const UnexplainedCharge> points_;
  std::vector<double> left_;
  std::vector<std::vector<double>> columns_;
  TitratedGroups found_;
};

}  // namespace

TitratedGroups explain(std::span<const UnexplainedCharge> points) {
  if (points.empty()) return {0, std::vector<double>(group_count, 0), 0};
  return Fit(points).run();
}

}  // namespace counterion
