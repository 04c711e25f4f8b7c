// SPDX-License-Identifier: MIT
#include "solver/damped_space.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/combined_columns.h"
#include "solver/complex_columns.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;

constexpr Index at_once = 16;  // columns: all at once would be among the largest things in memory

using Sides = std::vector<const MatrixXd *>;

// X' A X, a few columns of A X at a time.
MatrixXd projected(const SparseMatrix &A, const Sides &X) {
  Index size = 0, column = 0;
  for (const MatrixXd *x : X) size += x->cols();
  MatrixXd result(size, size);
  for (const MatrixXd *y : X)
    for (Index i = 0; i < y->cols(); i += at_once) {
      const Index count = std::min(at_once, y->cols() - i);
      const MatrixXd product = multiply(A, y->middleCols(i, count));
      Index row = 0;
      for (const MatrixXd *x : X) {
        result.block(row, column, x->cols(), count) = x->transpose() * product;
        row += x->cols();
      }
      column += count;
    }
  return result;
}

const SparseMatrix &matrix_at(const DampedProblem &p, std::size_t k) {
  return k == 0 ? *p.stiffness : p.parts[k - 1].stiffness;
}

Sides sides_of(const DampedSpace &space) {
  Sides sides = space.given;
  for (const MatrixXd &w : space.W) sides.push_back(&w);
  return sides;
}

// Rows and columns of A for new vectors w of the space.
void extend_projection(const Sides &sides, const MatrixXd &w, const SparseMatrix &matrix, MatrixXd &A) {
  const Index n = A.rows(), more = w.cols();
  A.conservativeResize(n + more, n + more);
  for (Index i = 0; i < more; i += at_once) {
    const Index count = std::min(at_once, more - i);
    const MatrixXd product = multiply(matrix, w.middleCols(i, count));
    Index row = 0;
    for (const MatrixXd *x : sides) {
      A.block(row, n + i, x->cols(), count) = x->transpose() * product;
      row += x->cols();
    }
    A.block(n, n + i, more, count) = w.transpose() * product;
  }
  A.bottomLeftCorner(more, n) = A.topRightCorner(n, more).transpose();
}

// Takes from columns w what they share with the space in the sense of M, and returns M w of before.
MatrixXd take_out(const DampedSpace &space, MatrixXd &w) {
  const MatrixXd Mw = multiply(*space.problem->mass, w);
  for (const MatrixXd *x : sides_of(space)) w.noalias() -= *x * (x->transpose() * Mw);
  return Mw;
}

MatrixXcd projected_at(const DampedSpace &space, Complex lambda) {
  const VectorXcd c = damped_weights(*space.problem, damped_frequency(lambda));
  MatrixXcd A = c[0] * space.A[0].cast<Complex>();
  for (Index k = 1; k < c.size(); ++k) A += c[k] * space.A[std::size_t(k)].cast<Complex>();
  return A;
}

// |A| |x| for a symmetric matrix of which the lower triangle is stored.
Eigen::VectorXd absolute_product(const SparseMatrix &lower, const Eigen::VectorXd &x) {
  Eigen::VectorXd y = Eigen::VectorXd::Zero(x.size());
  for (int r = 0; r < lower.rows(); ++r)
    for (SparseMatrix::InnerIterator it(lower, r); it; ++it) {
      y[r] += std::abs(it.value()) * x[it.col()];
      if (it.col() != r) y[it.col()] += std::abs(it.value()) * x[r];
    }
  return y;
}

// Whether `pair` is one of `pairs`. Equal eigenvalues are the same pair only when the vectors are, too: of a vector for
// a multiple eigenvalue, which may be any of a plane, the part across the others is kept.
bool is_taken(const DampedSpace &space, const std::vector<DampedPair> &pairs, DampedPair &pair) {
  constexpr double enough = 0.1;
  VectorXcd rest = pair.y;
  for (const DampedPair &other : pairs)
    if (std::abs(other.lambda - pair.lambda) < 1e-9 * std::abs(pair.lambda))
      rest -= other.y * (other.y.transpose() * (space.G * rest))(0);
  const Complex size = std::sqrt((rest.transpose() * (space.G * rest))(0));
  if (std::abs(size) < enough) return true;
  pair.y = rest / size;
  return false;
}

}  // namespace

VectorXcd damped_weights(const DampedProblem &p, double frequency) {
  VectorXcd w(p.parts.size() + 1);
  w[0] = p.base(frequency);
  for (std::size_t i = 0; i < p.parts.size(); ++i) w[Index(i) + 1] = p.parts[i].scale(frequency) - w[0];
  return w;
}

double damped_frequency(Complex lambda) { return std::sqrt(std::max(0.0, lambda.real())) / (2 * M_PI); }

DampedSpace make_damped_space(const DampedProblem &p, const EigenPairs &real) {
  // Not the eigenvalues and the unit matrix: where thin stiff layers meet low frequencies, those are less exact.
  Sides given{&real.vectors};
  if (real.above.cols() > 0) given.push_back(&real.above);
  DampedSpace space{&p, given, {}, projected(*p.mass, given), {projected(*p.stiffness, given)}};
  for (const LossyPart &part : p.parts) space.A.push_back(projected(part.stiffness, given));
  return space;
}

DampedSpace make_modal_space(const DampedProblem &p, const EigenPairs &real) {
  const Index modes = real.values.size();
  DampedSpace space{&p, {&real.vectors}, {}, MatrixXd::Identity(modes, modes), {real.values.asDiagonal()}};
  for (const LossyPart &part : p.parts) space.A.push_back(projected(part.stiffness, space.given));
  return space;
}

void extend(DampedSpace &space, MatrixXd w) {
  constexpr double least = 1e-12;  // square of the part of a vector below which it adds nothing but rounding
  const Index columns = w.cols();
  MatrixXd products(columns, columns);  // w' M w
  // Orthogonal in the sense of M to what is there, twice for the sake of rounding; what the second time takes away is
  // too small to matter in M w.
  for (Index i = 0; i < columns; i += at_once) {
    const Index count = std::min(at_once, columns - i);
    MatrixXd some = w.middleCols(i, count);
    const MatrixXd first = take_out(space, some);
    for (Index k = 0; k < count; ++k) some.col(k) /= std::sqrt(std::abs(some.col(k).dot(first.col(k))));
    const MatrixXd Mw = take_out(space, some);
    w.middleCols(i, count) = some;
    products.block(0, i, i + count, count) = w.leftCols(i + count).transpose() * Mw;
    products.block(i, 0, count, i) = products.block(0, i, i, count).transpose();
  }
  // Then to each other, without what depends on the rest.
  const SymmetricPairs turn = symmetric_eigenpairs(products);
  Index first = 0;
  while (turn.values[first] < least * turn.values[columns - 1]) ++first;
  const Index kept = columns - first;
  combine_in_place(w, 0, turn.vectors.rightCols(kept) * turn.values.tail(kept).cwiseSqrt().cwiseInverse().asDiagonal());
  extend_projection(sides_of(space), w, *space.problem->mass, space.G);
  for (std::size_t k = 0; k < space.A.size(); ++k)
    extend_projection(sides_of(space), w, matrix_at(*space.problem, k), space.A[k]);
  space.W.push_back(std::move(w));
}

MatrixXd vectors_of(const DampedSpace &space, const std::vector<DampedPair> &pairs) {
  MatrixXcd y = MatrixXcd::Zero(space.G.rows(), Index(pairs.size()));
  for (std::size_t i = 0; i < pairs.size(); ++i) y.col(Index(i)).head(pairs[i].y.size()) = pairs[i].y;
  MatrixXd x = MatrixXd::Zero(space.given.front()->rows(), 2 * y.cols());
  Index row = 0;
  for (const MatrixXd *side : sides_of(space)) {
    x.noalias() += *side * parts_of(y.middleRows(row, side->cols()));
    row += side->cols();
  }
  return x;
}

void follow_pair(const DampedSpace &space, DampedPair &pair) {
  const Index n = space.G.rows(), old = pair.y.size();
  VectorXcd y = VectorXcd::Zero(n);
  y.head(old) = pair.y;
  Complex lambda = pair.lambda;
  for (int step = 0; step < 30; ++step) {
    const MatrixXcd A = projected_at(space, lambda);
    const VectorXcd Gy = space.G * y;
    // Inverse iteration with a fixed shift first, so as not to slip to a neighbour; then Rayleigh quotients.
    const Complex rayleigh = (y.transpose() * A * y)(0) / (y.transpose() * Gy)(0);
    const Complex shift = step < 2 ? lambda * (1 + 1e-7) : rayleigh * (1.0 + 1e-14);
    y = solve_dense(A - shift * space.G.cast<Complex>(), Gy);
    y /= y.norm();
    y /= std::sqrt((y.transpose() * (space.G * y))(0));
    const Complex value = (y.transpose() * A * y)(0);
    const double change = std::abs(value - lambda) / std::abs(value);
    lambda = value;
    if (step >= 2 && change < 1e-13) break;
  }
  pair = {lambda, y};
}

std::vector<DampedPair> first_pairs(const DampedSpace &space, const std::vector<DampedMode> &guess) {
  const int m = int(guess.size());
  const int n = int(space.G.rows());
  std::vector<DampedPair> pairs;
  VectorXcd weights, values;
  MatrixXcd v;  // columns of norm 1
  for (int i = 0; i < m; ++i) {
    const double omega = 2 * M_PI * guess[std::size_t(i)].frequency;
    const VectorXcd own = damped_weights(*space.problem, guess[std::size_t(i)].frequency);
    if (i == 0 || own != weights) dense_eigenpairs(projected_at(space, omega * omega), values, v);
    weights = own;
    std::vector<int> order(n);
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int a, int b) { return std::abs(v(i, a)) > std::abs(v(i, b)); });
    for (int k : order) {
      DampedPair pair{values[k], v.col(k)};
      pair.y /= std::sqrt((pair.y.transpose() * pair.y)(0));
      follow_pair(space, pair);
      if (is_taken(space, pairs, pair)) continue;
      pairs.push_back(pair);
      break;
    }
    if (int(pairs.size()) <= i)
      throw SolveError("two damped modes near " + std::to_string(int(guess[std::size_t(i)].frequency)) +
                       " Hz cannot be told apart; use the energy method for this case");
  }
  return pairs;
}

DampedResiduals residuals_of(const DampedProblem &p, const std::vector<DampedPair> &pairs, const MatrixXd &x) {
  const Index count = Index(pairs.size());
  MatrixXcd c(count, Index(p.parts.size()) + 1);
  VectorXcd lambda(count);
  for (Index i = 0; i < count; ++i) {
    lambda[i] = pairs[std::size_t(i)].lambda;
    c.row(i) = damped_weights(p, damped_frequency(lambda[i])).transpose();
  }
  const MatrixXd Mx = multiply(*p.mass, x);
  DampedResiduals result;
  result.r = scaled_columns(Mx, -lambda);
  for (Index k = 0; k < c.cols(); ++k) result.r += scaled_columns(multiply(matrix_at(p, std::size_t(k)), x), c.col(k));
  for (Index i = 0; i < count; ++i) {
    const auto norm = [&](const MatrixXd &y) { return std::hypot(y.col(i).norm(), y.col(count + i).norm()); };
    result.scale.push_back(1 / (std::abs(lambda[i]) * norm(Mx)));
    result.r.col(i) *= result.scale.back();
    result.r.col(count + i) *= result.scale.back();
    result.norm.push_back(norm(result.r));
  }
  return result;
}

double rounding_of(const DampedProblem &p, const DampedPair &pair, const VectorXcd &x) {
  const VectorXcd c = damped_weights(p, damped_frequency(pair.lambda));
  Eigen::VectorXd terms = Eigen::VectorXd::Zero(x.size());
  for (Index k = 0; k < c.size(); ++k)
    terms += std::abs(c[k]) * absolute_product(matrix_at(p, std::size_t(k)), x.cwiseAbs());
  return std::ldexp(terms.norm(), -53);
}

}  // namespace stillbox
