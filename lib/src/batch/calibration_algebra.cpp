// SPDX-License-Identifier: MIT
#include "calibration_algebra.hpp"

#include <counterion/chemistry/nonnegative_least_squares.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace counterion::algebra {
namespace {

using Vector = std::vector<double>;
using Matrix = std::vector<Vector>;  // by rows

/// Lower triangle L with L Lᵀ = S.
Matrix cholesky(const Matrix& S) {
  Matrix L(S.size(), Vector(S.size(), 0.0));
  for (std::size_t i = 0; i < S.size(); ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = S[i][j];
      for (std::size_t k = 0; k < j; ++k) sum -= L[i][k] * L[j][k];
      L[i][j] = i == j ? std::sqrt(sum) : sum / L[j][j];
    }
  return L;
}

/// L⁻¹ b.
Vector forward(const Matrix& L, Vector b) {
  for (std::size_t i = 0; i < b.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) b[i] -= L[i][k] * b[k];
    b[i] /= L[i][i];
  }
  return b;
}

/// L⁻ᵀ b.
Vector backward(const Matrix& L, Vector b) {
  for (std::size_t i = b.size(); i-- > 0;) {
    for (std::size_t k = i + 1; k < b.size(); ++k) b[i] -= L[k][i] * b[k];
    b[i] /= L[i][i];
  }
  return b;
}

/// J Jᵀ over the columns that `counts` says.
template <class Counts>
Matrix squares_of(const Matrix& J, const Counts& counts) {
  Matrix S(J.size(), Vector(J.size(), 0.0));
  for (std::size_t i = 0; i < J.size(); ++i)
    for (std::size_t j = 0; j < J.size(); ++j)
      for (std::size_t d = 0; d < J[i].size(); ++d)
        if (counts(d)) S[i][j] += J[i][d] * J[j][d];
  return S;
}

/// One of Jacobi's rotations, which takes S[p][q] away; V gathers them.
void rotate(Matrix& S, Matrix& V, std::size_t p, std::size_t q) {
  if (S[p][q] == 0) return;
  const double half = (S[q][q] - S[p][p]) / (2 * S[p][q]);
  const double t = (half < 0 ? -1 : 1) / (std::abs(half) + std::hypot(1.0, half)), c = 1 / std::hypot(1.0, t), s = t * c;
  const auto turn = [c, s](double& a, double& b) {
    const double before = a;
    a = c * before - s * b, b = s * before + c * b;
  };
  for (std::size_t k = 0; k < S.size(); ++k) turn(S[k][p], S[k][q]);
  for (std::size_t k = 0; k < S.size(); ++k) turn(S[p][k], S[q][k]);
  for (std::size_t k = 0; k < S.size(); ++k) turn(V[k][p], V[k][q]);
}

}  // namespace

double dot(const Vector& a, const Vector& b) { return std::inner_product(a.begin(), a.end(), b.begin(), 0.0); }

Vector most_probable(const Matrix& J, const Vector& wanted, const std::vector<bool>& not_below_zero) {
  Matrix S = squares_of(J, [&](std::size_t d) { return !not_below_zero[d]; });
  for (std::size_t i = 0; i < S.size(); ++i) S[i][i] += 1;
  const Matrix L = cholesky(S);
  const std::size_t deviates = J.front().size();
  std::vector<std::size_t> bounded;
  for (std::size_t d = 0; d < deviates; ++d)
    if (not_below_zero[d]) bounded.push_back(d);
  Columns A;
  for (std::size_t b = 0; b < bounded.size(); ++b) {
    Vector column;
    for (const auto& row : J) column.push_back(row[bounded[b]]);
    column = forward(L, std::move(column));
    column.resize(J.size() + bounded.size(), 0.0);
    column[J.size() + b] = 1;  // its own spread
    A.push_back(std::move(column));
  }
  Vector right = forward(L, wanted);
  right.resize(J.size() + bounded.size(), 0.0);
  const Vector amounts = nonnegative_least_squares(A, right);
  Vector found(deviates, 0.0), left = wanted;
  for (std::size_t b = 0; b < bounded.size(); ++b) {
    found[bounded[b]] = amounts[b];
    for (std::size_t i = 0; i < J.size(); ++i) left[i] -= J[i][bounded[b]] * amounts[b];
  }
  const Vector weights = backward(L, forward(L, left));
  for (std::size_t d = 0; d < deviates; ++d)
    for (std::size_t i = 0; i < J.size(); ++i)
      if (!not_below_zero[d]) found[d] += J[i][d] * weights[i];
  return found;
}

std::vector<Vector> known_directions(const Matrix& J) {
  Matrix S = squares_of(J, [](std::size_t) { return true; });
  Matrix V(S.size(), Vector(S.size(), 0.0));
  for (std::size_t i = 0; i < S.size(); ++i) V[i][i] = 1;
  constexpr int sweeps = 30;
  for (int sweep = 0; sweep < sweeps; ++sweep)
    for (std::size_t p = 0; p + 1 < S.size(); ++p)
      for (std::size_t q = p + 1; q < S.size(); ++q) rotate(S, V, p, q);
  std::vector<Vector> directions;
  for (std::size_t k = 0; k < S.size(); ++k) {
    if (!(S[k][k] > 0)) continue;
    Vector direction(J.front().size(), 0.0);
    for (std::size_t i = 0; i < J.size(); ++i)
      for (std::size_t d = 0; d < direction.size(); ++d) direction[d] += V[i][k] * J[i][d];
    const double scale = 1 / std::sqrt(1 + S[k][k]);  // sqrt(λ/(1 + λ)) over the length sqrt(λ)
    for (double& component : direction) component *= scale;
    directions.push_back(std::move(direction));
  }
  return directions;
}

}  // namespace counterion::algebra
