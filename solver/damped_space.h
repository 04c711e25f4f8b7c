// SPDX-License-Identifier: MIT
#pragma once
#include "solver/damped_modes.h"

namespace stillbox {

/// The weight of each matrix at a frequency (Hz), K first and then the parts: K*(f) = sum of weight_k K_k.
Eigen::VectorXcd damped_weights(const DampedProblem &problem, double frequency);

/// sqrt(Re lambda) / (2 pi), Hz.
double damped_frequency(std::complex<double> lambda);

/// An eigenpair in a space: eigenvalue, coefficients of the space's vectors, y' G y = 1.
struct DampedPair {
  std::complex<double> lambda = 0;
  Eigen::VectorXcd y;
};

/// The span of real vectors: modes, vectors above them and corrections W, with the matrices projected on it.
struct DampedSpace {
  const DampedProblem *problem = nullptr;
  std::vector<const Eigen::MatrixXd *> given;  ///< not copied, as each is among the largest things in memory
  std::vector<Eigen::MatrixXd> W;
  Eigen::MatrixXd G;               ///< U' M U
  std::vector<Eigen::MatrixXd> A;  ///< U' K U, U' K_p U
};
/// The real modes and real.above, which have to live as long.
DampedSpace make_damped_space(const DampedProblem &problem, const EigenPairs &real);
/// The real modes alone; K and M are not looked at, their projections being the eigenvalues and the unit matrix.
DampedSpace make_modal_space(const DampedProblem &problem, const EigenPairs &real);

/// Takes the columns of w into the space, less what it holds already.
void extend(DampedSpace &space, Eigen::MatrixXd w);

/// Vectors of unknowns for coefficients, of pairs of this space or of it before it grew: columns as in complex_columns.
Eigen::MatrixXd vectors_of(const DampedSpace &space, const std::vector<DampedPair> &pairs);

/// The eigenpair of the projected problem nearest `pair`, moduli taken at its own frequency; `pair` may come from the
/// space before it grew.
void follow_pair(const DampedSpace &space, DampedPair &pair);

/// One pair for each real mode from the real modes alone, none twice: the pair with the largest part of that mode.
/// Errors: SolveError when there is none left.
std::vector<DampedPair> first_pairs(const DampedSpace &space, const std::vector<DampedMode> &guess);

/// Residuals r = (K*(f) x - lambda M x) / (|lambda| |M x|) as columns like those of x, and their norms.
struct DampedResiduals {
  Eigen::MatrixXd r;
  std::vector<double> norm, scale;  ///< scale: 1 / (|lambda| |M x|)
};
DampedResiduals residuals_of(const DampedProblem &problem, const std::vector<DampedPair> &pairs,
                             const Eigen::MatrixXd &x);

/// The norm of what rounding leaves of a residual at best: 2^-53 times that of the sum of |weight_k| |K_k| |x|.
double rounding_of(const DampedProblem &problem, const DampedPair &pair, const Eigen::VectorXcd &x);

}  // namespace stillbox
