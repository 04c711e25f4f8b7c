// SPDX-License-Identifier: MIT
#include "solver/damped_space.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/lapack.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;

// Products of real matrices with complex ones, by real and imaginary parts.
MatrixXd parts_of(const MatrixXcd &x) {
  MatrixXd both(x.rows(), 2 * x.cols());
  both << x.real(), x.imag();
  return both;
}
MatrixXcd complex_of(const MatrixXd &both) {
  MatrixXcd y(both.rows(), both.cols() / 2);
  y.real() = both.leftCols(y.cols());
  y.imag() = both.rightCols(y.cols());
  return y;
}
MatrixXcd symmetric_times(const SparseMatrix &lower, const MatrixXcd &x) {
  return complex_of(multiply(lower, parts_of(x)));
}

using Sides = std::vector<const MatrixXd *>;

// X' A X, a few columns of A X at a time.
MatrixXd projected(const SparseMatrix &A, const Sides &X) {
  constexpr Eigen::Index at_once = 16;
  Eigen::Index size = 0, column = 0;
  for (const MatrixXd *x : X) size += x->cols();
  MatrixXd result(size, size);
  for (const MatrixXd *y : X)
    for (Eigen::Index i = 0; i < y->cols(); i += at_once) {
      const Eigen::Index count = std::min(at_once, y->cols() - i);
      const MatrixXd product = multiply(A, y->middleCols(i, count));
      Eigen::Index row = 0;
      for (const MatrixXd *x : X) {
        result.block(row, column, x->cols(), count) = x->transpose() * product;
        row += x->cols();
      }
      column += count;
    }
  return result;
}

// X y and X' x.
MatrixXcd times(const Sides &X, const MatrixXcd &y) {
  const MatrixXd parts = parts_of(y);
  MatrixXd sum = MatrixXd::Zero(X.front()->rows(), parts.cols());
  Eigen::Index row = 0;
  for (const MatrixXd *x : X) {
    sum.noalias() += *x * parts.middleRows(row, x->cols());
    row += x->cols();
  }
  return complex_of(sum);
}
MatrixXcd transpose_times(const DampedBasis &basis, const MatrixXcd &x) {
  const MatrixXd parts = parts_of(x);
  MatrixXd all(basis.mass.rows(), parts.cols());
  Eigen::Index row = 0;
  for (const MatrixXd *side : basis.vectors) {
    all.middleRows(row, side->cols()).noalias() = side->transpose() * parts;
    row += side->cols();
  }
  return complex_of(all);
}

const SparseMatrix &matrix_at(const DampedProblem &p, std::size_t k) {
  return k == 0 ? *p.stiffness : p.parts[k - 1].stiffness;
}

// Rows and columns more for new vectors w: `product` is the matrix times w.
void extend_projection(const DampedSpace &space, const MatrixXcd &w, const MatrixXcd &product, MatrixXcd &A) {
  const Eigen::Index n = A.rows(), m = space.basis->mass.rows(), more = w.cols();
  MatrixXcd columns(n + more, more);
  columns.topRows(m) = transpose_times(*space.basis, product);
  columns.middleRows(m, n - m) = space.W.transpose() * product;
  columns.bottomRows(more) = w.transpose() * product;
  A.conservativeResize(n + more, n + more);
  A.rightCols(more) = columns;
  A.bottomLeftCorner(more, n) = columns.topRows(n).transpose();
}

MatrixXcd projected_at(const DampedSpace &space, Complex lambda) {
  const VectorXcd c = damped_weights(space.basis->problem, damped_frequency(lambda));
  MatrixXcd A = c[0] * space.A[0];
  for (Eigen::Index k = 1; k < c.size(); ++k) A += c[k] * space.A[std::size_t(k)];
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
      rest -= other.y * (other.y.transpose() * space.G * rest)(0);
  const Complex size = std::sqrt((rest.transpose() * space.G * rest)(0));
  if (std::abs(size) < enough) return true;
  pair.y = rest / size;
  return false;
}

}  // namespace

VectorXcd damped_weights(const DampedProblem &p, double frequency) {
  VectorXcd w(p.parts.size() + 1);
  w[0] = p.base(frequency);
  for (std::size_t i = 0; i < p.parts.size(); ++i) w[Eigen::Index(i) + 1] = p.parts[i].scale(frequency) - w[0];
  return w;
}

double damped_frequency(Complex lambda) { return std::sqrt(std::max(0.0, lambda.real())) / (2 * M_PI); }

DampedBasis make_damped_basis(const DampedProblem &p, const EigenPairs &real) {
  // Not the eigenvalues and the unit matrix: where thin stiff layers meet low frequencies, those are less exact.
  Sides vectors{&real.vectors};
  if (real.above.cols() > 0) vectors.push_back(&real.above);
  DampedBasis basis{p, vectors, projected(*p.mass, vectors), {projected(*p.stiffness, vectors)}};
  for (const LossyPart &part : p.parts) basis.stiffness.push_back(projected(part.stiffness, vectors));
  return basis;
}

DampedBasis make_modal_basis(const DampedProblem &p, const EigenPairs &real) {
  const Eigen::Index modes = real.values.size();
  DampedBasis basis{p, {&real.vectors}, MatrixXd::Identity(modes, modes), {real.values.asDiagonal()}};
  for (const LossyPart &part : p.parts) basis.stiffness.push_back(projected(part.stiffness, basis.vectors));
  return basis;
}

DampedSpace make_damped_space(const DampedBasis &basis) {
  DampedSpace space{&basis, MatrixXcd(basis.vectors.front()->rows(), 0), {}, basis.mass.cast<Complex>()};
  for (const MatrixXd &a : basis.stiffness) space.A.push_back(a.cast<Complex>());
  return space;
}

void extend(DampedSpace &space, MatrixXcd w) {
  constexpr double least = 1e-12;  // square of the part of a vector below which it adds nothing but rounding
  const DampedBasis &basis = *space.basis;
  MatrixXcd Mw;
  // Orthogonal in the sense of M to what is there, twice for the sake of rounding; what the second time takes away is
  // too small to matter in M w.
  for (int pass = 0; pass < 2; ++pass) {
    Mw = symmetric_times(*basis.problem.mass, w);
    w -= times(basis.vectors, transpose_times(basis, Mw));
    w -= space.W * (space.W.adjoint() * Mw);
    if (pass == 0)
      for (Eigen::Index i = 0; i < w.cols(); ++i) w.col(i) /= std::sqrt(std::abs(w.col(i).dot(Mw.col(i))));
  }
  // Then to each other, without what depends on the rest.
  Eigen::VectorXd size;
  MatrixXcd turn;
  hermitian_eigenpairs(w.adjoint() * Mw, size, turn);
  Eigen::Index first = 0;
  while (size[first] < least * size[size.size() - 1]) ++first;
  const Eigen::Index kept = size.size() - first;
  turn = (turn.rightCols(kept) * size.tail(kept).cwiseSqrt().cwiseInverse().asDiagonal()).eval();
  w = (w * turn).eval();
  Mw = (Mw * turn).eval();
  extend_projection(space, w, Mw, space.G);
  for (std::size_t k = 0; k < space.A.size(); ++k)
    extend_projection(space, w, symmetric_times(matrix_at(basis.problem, k), w), space.A[k]);
  const Eigen::Index old = space.W.cols();
  space.W.conservativeResize(Eigen::NoChange, old + kept);
  space.W.rightCols(kept) = w;
}

MatrixXcd vectors_of(const DampedSpace &space, const std::vector<DampedPair> &pairs) {
  const Eigen::Index m = space.basis->mass.rows();
  MatrixXcd y = MatrixXcd::Zero(m + space.W.cols(), Eigen::Index(pairs.size()));
  for (std::size_t i = 0; i < pairs.size(); ++i) y.col(Eigen::Index(i)).head(pairs[i].y.size()) = pairs[i].y;
  return times(space.basis->vectors, y.topRows(m)) + space.W * y.bottomRows(space.W.cols());
}

void follow_pair(const DampedSpace &space, DampedPair &pair) {
  const Eigen::Index n = space.G.rows(), old = pair.y.size();
  VectorXcd y = VectorXcd::Zero(n);
  y.head(old) = pair.y;
  Complex lambda = pair.lambda;
  for (int step = 0; step < 30; ++step) {
    const MatrixXcd A = projected_at(space, lambda);
    const VectorXcd Gy = space.G * y;
    // Inverse iteration with a fixed shift first, so as not to slip to a neighbour; then Rayleigh quotients.
    const Complex rayleigh = (y.transpose() * A * y)(0) / (y.transpose() * Gy)(0);
    const Complex shift = step < 2 ? lambda * (1 + 1e-7) : rayleigh * (1.0 + 1e-14);
    y = solve_dense(A - shift * space.G, Gy);
    y /= y.norm();
    y /= std::sqrt((y.transpose() * space.G * y)(0));
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
    const VectorXcd own = damped_weights(space.basis->problem, guess[std::size_t(i)].frequency);
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

DampedResiduals residuals_of(const DampedProblem &p, const std::vector<DampedPair> &pairs, const MatrixXcd &x) {
  const Eigen::Index count = x.cols();
  MatrixXcd c(count, Eigen::Index(p.parts.size()) + 1);
  for (Eigen::Index i = 0; i < count; ++i)
    c.row(i) = damped_weights(p, damped_frequency(pairs[std::size_t(i)].lambda)).transpose();
  DampedResiduals result;
  for (Eigen::Index k = 0; k < c.cols(); ++k) {
    const MatrixXcd product = symmetric_times(matrix_at(p, std::size_t(k)), x) * c.col(k).asDiagonal();
    if (k == 0)
      result.r = product;
    else
      result.r += product;
  }
  const MatrixXcd Mx = symmetric_times(*p.mass, x);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Complex lambda = pairs[std::size_t(i)].lambda;
    result.scale.push_back(1 / (std::abs(lambda) * Mx.col(i).norm()));
    result.r.col(i) -= lambda * Mx.col(i);
    result.relative.push_back(result.r.col(i).norm() * result.scale.back());
  }
  return result;
}

double rounding_of(const DampedProblem &p, const DampedPair &pair, const VectorXcd &x) {
  const VectorXcd c = damped_weights(p, damped_frequency(pair.lambda));
  Eigen::VectorXd terms = Eigen::VectorXd::Zero(x.size());
  for (Eigen::Index k = 0; k < c.size(); ++k)
    terms += std::abs(c[k]) * absolute_product(matrix_at(p, std::size_t(k)), x.cwiseAbs());
  return std::ldexp(terms.norm(), -53);
}

}  // namespace stillbox
