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
  const double t = (half < 0 ? -1 : 1) / (std::abs(half) + std::hypot(1.0, half)),
               c = 1 / std::hypot(1.0, t), s = t * c;
  const auto turn = [c, s](double& a, double& b) {
    const double before = a;
    a = c * before - s * b, b = s * before + c * b;
  };
  for (std::size_t k = 0; k < S.size(); ++k) turn(S[k][p], S[k][q]);
  for (std::size_t k = 0; k < S.size(); ++k) turn(S[p][k], S[q][k]);
  for (std::size_t k = 0; k < S.size(); ++k) turn(V[k][p], V[k][q]);
}

/// How far the bounded deviates lie above their least; their own middle is at nothing.
Vector above_least(const Matrix& J, const Matrix& L, const Vector& left,
                   const std::vector<std::size_t>& bounded, const Vector& least) {
  Columns A;
  Vector right = forward(L, left);
  for (std::size_t b = 0; b < bounded.size(); ++b) {
    Vector column;
    for (const auto& row : J) column.push_back(row[bounded[b]]);
    column = forward(L, std::move(column));
    column.resize(J.size() + bounded.size(), 0.0);
    column[J.size() + b] = 1;
    A.push_back(std::move(column));
    right.push_back(-least[bounded[b]]);
  }
  return nonnegative_least_squares(A, right);
}

}  // namespace

double dot(const Vector& a, const Vector& b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

Vector most_probable(const Matrix& J, const Vector& wanted, const Vector& least) {
  const auto is_free = [&](std::size_t d) { return least[d] == no_bound; };
  Matrix S = squares_of(J, is_free);
  for (std::size_t i = 0; i < S.size(); ++i) S[i][i] += 1;
  const Matrix L = cholesky(S);
  Vector found(least.size(), 0.0);
  Vector left = wanted;
  const auto take = [&](std::size_t d, double deviate) {
    found[d] += deviate;
    for (std::size_t i = 0; i < J.size(); ++i) left[i] -= J[i][d] * deviate;
  };
  std::vector<std::size_t> bounded;
  for (std::size_t d = 0; d < least.size(); ++d)
    if (!is_free(d)) bounded.push_back(d), take(d, least[d]);
  const Vector above = above_least(J, L, left, bounded, least);
  for (std::size_t b = 0; b < bounded.size(); ++b) take(bounded[b], above[b]);
  const Vector weights = backward(L, forward(L, left));
  for (std::size_t d = 0; d < least.size(); ++d)
    for (std::size_t i = 0; i < J.size(); ++i)
      if (is_free(d)) found[d] += J[i][d] * weights[i];
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

double log_determinant(const Matrix& J) {
  Matrix S = squares_of(J, [](std::size_t) { return true; });
  for (std::size_t i = 0; i < S.size(); ++i) S[i][i] += 1;
  const Matrix L = cholesky(S);
  double sum = 0;
  for (std::size_t i = 0; i < L.size(); ++i) sum += 2 * std::log(L[i][i]);
  return sum;
}

}  // namespace counterion::algebra
