// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <functional>

namespace stillbox {

/// Residuals r(x) (m) and their derivatives J(i, k) = d r_i / d x_k (m x n) of a least-squares problem.
using Residuals = std::function<void(const Eigen::VectorXd &x, Eigen::VectorXd &r, Eigen::MatrixXd &J)>;

struct BoundedFitOptions {
  int most_steps = 200;
  double step_tolerance = 1e-10;      ///< of a step, relative to 1 + |x|
  double gradient_tolerance = 1e-12;  ///< of the free gradient's entries, relative to |r| times the column's length
};

struct BoundedFit {
  Eigen::VectorXd x, residuals;
  Eigen::MatrixXd jacobian;
  Eigen::VectorXi on_bound;  ///< -1 held at the lower bound, 1 at the upper one, 0 free: bounds that push back
  double sum_of_squares = 0;
  int evaluations = 0;
  bool converged = false;
};

/// Minimum of |r(x)|^2 within low <= x <= high by the method of Levenberg and Marquardt; each step is the exact minimum
/// of the local quadratic model within the bounds, so that a linear problem is solved with the right bounds active. A
/// local minimum when the problem is not convex. Where J lacks rank, the scaled damping keeps x near its start along
/// the directions that change nothing.
/// Source: D. Marquardt, J. Soc. Ind. Appl. Math. 11, 431-441, 1963; damping after H.B. Nielsen, report IMM-REP-1999-05
/// (both from memory). `start` is moved into the bounds first.
BoundedFit bounded_fit(const Residuals &residuals, const Eigen::VectorXd &start, const Eigen::VectorXd &low,
                       const Eigen::VectorXd &high, const BoundedFitOptions &options = {});

/// Minimum of 1/2 d' H d + g' d with low <= d <= high, low <= 0 <= high, for a symmetric positive definite H (n x n),
/// by an active-set method: finite, exact to rounding. `active` (optional) returns -1, 0, 1 as BoundedFit::on_bound.
Eigen::VectorXd box_minimum(const Eigen::MatrixXd &H, const Eigen::VectorXd &g, const Eigen::VectorXd &low,
                            const Eigen::VectorXd &high, Eigen::VectorXi *active = nullptr);

}  // namespace stillbox
