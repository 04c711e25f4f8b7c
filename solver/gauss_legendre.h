// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// Points and weights on -1 .. 1 (weights sum to 2), exact for polynomials up to degree 2 n - 1; n from 1 to some
/// hundreds. By Newton's method from the roots' asymptotic places.
struct GaussRule {
  Eigen::VectorXd point, weight;
};
GaussRule gauss_legendre(int n);

}  // namespace stillbox
