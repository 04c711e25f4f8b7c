// SPDX-License-Identifier: MIT
#include "solver/block_lanczos.h"

#include <random>

#include "solver/blas_threads.h"
#include "solver/combined_columns.h"
#include "solver/freed_memory.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

// Growing set of M-orthonormal vectors V; of the products M V only the last two blocks are kept, as they are as large.
struct Basis {
  const MassProduct &mass;
  Eigen::MatrixXd V, last_MV, former_MV;
  int size = 0;

  Basis(const MassProduct &m, int rows, int capacity) : mass(m), V(rows, capacity) {}

  // Makes the columns of w M-orthogonal to the basis; returns the coefficients. First to the last two blocks, which are
  // all that Lanczos's recurrence has apart from rounding, then to all.
  Eigen::MatrixXd project_out(Eigen::MatrixXd &w) const {
    Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(size, w.cols()), Mw = multiply(mass, w);
    const auto take_out = [&](const Eigen::MatrixXd &MV, Eigen::Index start) {
      const Eigen::MatrixXd h = V.middleCols(start, MV.cols()).transpose() * Mw;
      w.noalias() -= V.middleCols(start, MV.cols()) * h;
      Mw.noalias() -= MV * h;
      sum.middleRows(start, MV.cols()) += h;
    };
    if (size > 0) take_out(last_MV, size - last_MV.cols());
    if (former_MV.cols() > 0) take_out(former_MV, size - last_MV.cols() - former_MV.cols());
    const Eigen::MatrixXd h = V.leftCols(size).transpose() * Mw;
    w.noalias() -= V.leftCols(size) * h;
    return sum + h;
  }

  // Appends the columns of w, already orthogonal to the basis; returns R with w = Q R. Columns that vanish are
  // replaced by random ones.
  Eigen::MatrixXd append(const Eigen::MatrixXd &w, std::mt19937 &random) {
    const int columns = int(w.cols()), start = size;
    Eigen::MatrixXd R = Eigen::MatrixXd::Zero(columns, columns);
    former_MV.swap(last_MV);
    last_MV = multiply(mass, w);
    double largest = 0;
    for (int j = 0; j < columns; ++j)
      largest = std::max(largest, std::sqrt(std::max(0.0, w.col(j).dot(last_MV.col(j)))));
    for (int j = 0; j < columns; ++j) {
      Eigen::VectorXd x = w.col(j), Mx = last_MV.col(j);
      for (int pass = 0; pass < 2; ++pass)
        for (int i = 0; i < j; ++i) {
          const double h = last_MV.col(i).dot(x);
          x -= h * V.col(start + i);
          Mx -= h * last_MV.col(i);
          R(i, j) += h;
        }
      double norm = std::sqrt(std::max(0.0, x.dot(Mx)));
      if (norm > 1e-12 * largest && norm > 0) {
        R(j, j) = norm;
      } else {
        std::normal_distribution<double> normal;
        for (double &value : x) value = normal(random);
        size = start + j;
        Eigen::MatrixXd column = x;
        for (int pass = 0; pass < 2; ++pass)
          column -= V.leftCols(size) * (V.leftCols(size).transpose() * multiply(mass, column));
        x = column;
        Mx = multiply(mass, x);
        norm = std::sqrt(x.dot(Mx));
      }
      V.col(start + j) = x / norm;
      last_MV.col(j) = Mx / norm;
    }
    size = start + columns;
    return R;
  }

  // Puts combinations of the vectors from `first` on in their place: column i has the coefficients
  // coefficients.col(chosen[i]).
  void combine(int first, const Eigen::MatrixXd &coefficients, const std::vector<int> &chosen) {
    Eigen::MatrixXd C(coefficients.rows(), Eigen::Index(chosen.size()));
    for (std::size_t i = 0; i < chosen.size(); ++i) C.col(Eigen::Index(i)) = coefficients.col(chosen[i]);
    combine_in_place(V, first, C);
  }
};

// The Ritz vectors as combinations of the basis after one more step of inverse iteration. With A the shifted inverse
// and Q the basis's next block, A V s = theta V s + Q (R s_end): what s lacks of an eigenvector is Q (R s_end) / theta,
// to first order, and the recurrence has it already. In K x that part weighs as much as the stiffest vectors in Q, so
// that without it low modes' residuals are a thousand times larger.
// Source: T. Ericsson, A. Ruhe, Math. Comp. 35, 1251-1268, 1980 (from memory).
Eigen::MatrixXd refined(const SymmetricPairs &ritz, const Eigen::MatrixXd &R) {
  const Eigen::Index total = ritz.vectors.rows(), block = R.rows();
  Eigen::MatrixXd coefficients(total + block, ritz.vectors.cols());
  coefficients.topRows(total) = ritz.vectors;
  coefficients.bottomRows(block) = R * ritz.vectors.bottomRows(block) * ritz.values.cwiseInverse().asDiagonal();
  return coefficients;
}

}  // namespace

EigenPairs block_lanczos(const MassProduct &mass, const SparseFactor &factor, double shift, int wanted,
                         const Eigen::MatrixXd &known, const LanczosOptions &options) {
  EigenPairs result;
  const int n = int(mass.rest.rows()), locked = int(known.cols());
  if (wanted <= 0) {
    result.vectors.resize(n, 0);
    return result;
  }
  const int room = n - locked;
  const int block = std::max(1, std::min({options.block, room}));
  const int most = std::min(room, options.max_vectors > 0 ? options.max_vectors : 200 + 8 * wanted);
  std::mt19937 random(20250101);
  Basis basis(mass, n, locked + most + 2 * block);
  const KeptMemory kept;  // but for the basis
  const OneBlasThread one_thread;
  Eigen::MatrixXd start(n, block);
  if (locked > 0) basis.append(known, random);
  std::normal_distribution<double> normal;
  for (Eigen::Index i = 0; i < start.size(); ++i) start.data()[i] = normal(random);
  start = multiply(mass, start);
  factor.solve(start);
  result.solves += block;
  basis.project_out(start);
  basis.append(start, random);
  start.resize(0, 0);

  Eigen::MatrixXd T = Eigen::MatrixXd::Zero(most + 2 * block, most + 2 * block);
  int steps = 0;
  for (;; ++steps) {
    const int from = steps * block;
    Eigen::MatrixXd w = basis.last_MV;
    factor.solve(w);
    result.solves += block;
    const Eigen::MatrixXd h = basis.project_out(w).bottomRows(from + block);
    T.block(0, from, from + block, block) = h;
    T.block(from, 0, block, from + block) = h.transpose();
    const Eigen::MatrixXd diagonal = T.block(from, from, block, block);
    T.block(from, from, block, block) = (diagonal + diagonal.transpose()) / 2;
    const int total = from + block;
    const bool full = total + block > room;
    const Eigen::MatrixXd R = full ? Eigen::MatrixXd::Zero(block, block) : basis.append(w, random);
    if (total < wanted) {
      if (full) throw SolveError("the space is exhausted before all modes are found");
      continue;
    }
    const SymmetricPairs ritz = symmetric_eigenpairs(T.topLeftCorner(total, total));
    const Eigen::VectorXd &theta = ritz.values;  // increasing: negative ones first
    int converged = 0;
    bool all_negative = true;
    for (int i = 0; i < wanted; ++i) {
      if (theta[i] >= 0) {
        all_negative = false;
        break;
      }
      const double residual = (R * ritz.vectors.col(i).tail(block)).norm();
      converged += residual <= options.tolerance * std::abs(theta[i]);
    }
    if (options.progress) options.progress(converged, wanted);
    if (converged == wanted && all_negative) {
      // theta increasing from most negative (nearest the shift); lambda = shift + 1/theta.
      result.values.resize(wanted);
      std::vector<int> chosen;
      for (int i = 0; i < wanted; ++i) {
        chosen.push_back(wanted - 1 - i);
        result.values[i] = shift + 1 / theta[chosen.back()];
      }
      // What the same vectors have to say of modes up to twice the shift.
      constexpr double good_enough = 1e-3;
      for (int i = total - 1; i >= 0 && int(chosen.size()) < wanted + options.most_above && theta[i] * shift > 1; --i)
        if ((R * ritz.vectors.col(i).tail(block)).norm() <= good_enough * theta[i]) chosen.push_back(i);
      basis.combine(locked, full ? ritz.vectors : refined(ritz, R), chosen);
      result.above = basis.V.rightCols(basis.V.cols() - wanted);
      basis.V.conservativeResize(Eigen::NoChange, wanted);
      result.vectors.swap(basis.V);
      return result;
    }
    if (full || total + block > most)
      throw SolveError("only " + std::to_string(converged) + " of " + std::to_string(wanted) +
                       " modes converged; lower the top frequency");
  }
}

}  // namespace stillbox
