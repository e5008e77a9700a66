// SPDX-License-Identifier: MIT
#include <counterion/chemistry/nonnegative_least_squares.hpp>
#include <counterion/error.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion {
namespace {

using Vector = std::vector<double>;

double dot(const Vector& a, const Vector& b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

void require_valid(const Columns& A, const Vector& b) {
  std::vector<Problem> problems;
  const auto finite = [](double value) { return std::isfinite(value); };
  for (std::size_t j = 0; j < A.size(); ++j) {
    if (A[j].size() != b.size())
      add_problem(problems, {}, fmt::format("column {} has {} rows", j + 1, A[j].size()),
                  fmt::format("{}", b.size()));
    else if (!std::ranges::all_of(A[j], finite))
      add_problem(problems, {}, fmt::format("column {} is not finite", j + 1), "numbers");
  }
  if (!std::ranges::all_of(b, finite))
    add_problem(problems, {}, "the right side is not finite", "numbers");
  if (!problems.empty()) throw BadInput(std::move(problems));
}

/// Reflects `column` and all later ones so that it ends at row `k`; false where nothing is left of
/// it.
bool reflect(Columns& A, Vector& b, std::size_t k) {
  Vector v(A[k].begin() + static_cast<std::ptrdiff_t>(k), A[k].end());
  const double before = std::sqrt(dot(A[k], A[k])), norm = std::sqrt(dot(v, v));
  if (!(norm > 1e-12 * before)) return false;
  v[0] += v[0] < 0 ? -norm : norm;
  const double scale = 2 / dot(v, v);
  const auto apply = [&](Vector& column) {
    double along = 0;
    for (std::size_t i = 0; i < v.size(); ++i) along += v[i] * column[k + i];
    for (std::size_t i = 0; i < v.size(); ++i) column[k + i] -= scale * along * v[i];
  };
  for (std::size_t j = k; j < A.size(); ++j) apply(A[j]);
  apply(b);
  return true;
}

/// Least squares without bounds; what depends on columns before it stays nothing.
Vector least_squares(Columns A, Vector b) {
  const std::size_t n = A.size();
  Vector x(n, 0.0);
  std::vector<bool> counts(n, false);
  for (std::size_t k = 0; k < std::min(n, b.size()); ++k) counts[k] = reflect(A, b, k);
  for (std::size_t k = n; k-- > 0;) {
    if (!counts[k]) continue;
    double rest = b[k];
    for (std::size_t j = k + 1; j < n; ++j) rest -= A[j][k] * x[j];
    x[k] = rest / A[k][k];
  }
  return x;
}

/// Lawson and Hanson's sets: columns in play, the others stay at nothing.
class ActiveSet {
 public:
  ActiveSet(const Columns& A, const Vector& b, const std::vector<bool>& free)
      : A_(A), b_(b), free_(free), x_(A.size(), 0.0), in_play_(A.size(), false) {
    for (std::size_t j = 0; j < A.size(); ++j) in_play_[j] = is_free(j);
  }

  Vector solve() && {
    x_ = within_play();
    const std::size_t most = 3 * A_.size() + 10;
    for (std::size_t pass = 0; pass < most; ++pass) {
      const auto next = most_wanted();
      if (next == A_.size()) break;
      in_play_[next] = true;
      settle();
    }
    return std::move(x_);
  }

 private:
  bool is_free(std::size_t j) const { return j < free_.size() && free_[j]; }
  Vector within_play() const {
    Columns some;
    for (std::size_t j = 0; j < A_.size(); ++j)
      if (in_play_[j]) some.push_back(A_[j]);
    const Vector found = least_squares(std::move(some), b_);
    Vector all(A_.size(), 0.0);
    for (std::size_t j = 0, k = 0; j < A_.size(); ++j)
      if (in_play_[j]) all[j] = found[k++];
    return all;
  }
  /// The column outside whose growth lowers the squares most; past the end when none does.
  std::size_t most_wanted() const {
    Vector left = b_;
    for (std::size_t j = 0; j < A_.size(); ++j)
      for (std::size_t i = 0; i < left.size(); ++i) left[i] -= x_[j] * A_[j][i];
    const double size = std::sqrt(dot(b_, b_));
    std::size_t best = A_.size();
    double most = 0;
    for (std::size_t j = 0; j < A_.size(); ++j) {
      const double norm = std::sqrt(dot(A_[j], A_[j]));
      if (in_play_[j] || !(norm > 0)) continue;
      const double gain = dot(A_[j], left) / norm;
      if (gain > 1e-11 * size && gain > most) most = gain, best = j;
    }
    return best;
  }
  /// Moves towards the free solution, dropping what would go below zero on the way.
  void settle() {
    for (std::size_t pass = 0; pass <= A_.size(); ++pass) {
      const Vector wanted = within_play();
      double way = 1;
      for (std::size_t j = 0; j < A_.size(); ++j)
        if (in_play_[j] && !is_free(j) && wanted[j] < 0)
          way = std::min(way, x_[j] / (x_[j] - wanted[j]));
      for (std::size_t j = 0; j < A_.size(); ++j) x_[j] += way * (wanted[j] - x_[j]);
      if (way == 1) return;
      for (std::size_t j = 0; j < A_.size(); ++j)
        if (in_play_[j] && !is_free(j) && !(x_[j] > 1e-14 * std::abs(wanted[j])))
          in_play_[j] = false, x_[j] = 0;
    }
  }

  const Columns& A_;
  const Vector& b_;
  const std::vector<bool>& free_;
  Vector x_;
  std::vector<bool> in_play_;
};

}  // namespace

std::vector<double> nonnegative_least_squares(const Columns& A, const std::vector<double>& b,
                                              const std::vector<bool>& free) {
  require_valid(A, b);
  return ActiveSet(A, b, free).solve();
}

}  // namespace counterion
