// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// Products of Legendre polynomials on -1 .. 1, scaled to unit norm, degrees 0 .. degree:
///   values(i, j) = integral p_i p_j (the unit matrix), mixed(i, j) = integral p_i' p_j, slopes(i, j) = integral p_i'
///   p_j'.
struct LegendreProducts {
  Eigen::MatrixXd values, mixed, slopes;
};
LegendreProducts legendre_products(int degree);

}  // namespace stillbox
