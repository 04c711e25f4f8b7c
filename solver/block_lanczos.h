// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <functional>

#include "solver/mass_product.h"
#include "solver/sparse_factor.h"

namespace stillbox {

struct EigenPairs {
  Eigen::VectorXd values;   ///< lambda, increasing
  Eigen::MatrixXd vectors;  ///< M-orthonormal columns
  int solves = 0;           ///< right-hand sides solved for
  Eigen::MatrixXd above;    ///< some eigenvectors above the shift, nearest first, to a few digits
};

struct LanczosOptions {
  int block = 8;
  double tolerance = 1e-10;  ///< on the relative residual of the shift-inverted problem
  int max_vectors = 0;       ///< 0: 200 + 8 times the number wanted
  int most_above = 0;        ///< vectors above the shift that are returned, as far as they are there already
  std::function<void(int converged, int wanted)> progress;
};

/// The `wanted` eigenpairs of K x = lambda M x with lambda below `shift`, of which there are exactly that many by the
/// inertia of the factor of K - shift M, besides the `known` ones (M-orthonormal columns, exact eigenvectors with
/// eigenvalues near `known_values`). Block Lanczos on (K - shift M)^-1 M in the M inner product with full
/// reorthogonalisation; eigenvalues below the shift are the negative ones, all of them, so none can be left out.
/// The vectors are those of one more step of inverse iteration, which costs no solve.
/// Source: R.G. Grimes, J.G. Lewis, H.D. Simon, SIAM J. Matrix Anal. Appl. 15(1), 228-272, 1994 (from memory).
/// Errors: SolveError when they do not converge.
EigenPairs block_lanczos(const MassProduct &mass, const SparseFactor &factor, double shift, int wanted,
                         const Eigen::MatrixXd &known, const LanczosOptions &options);

}  // namespace stillbox
