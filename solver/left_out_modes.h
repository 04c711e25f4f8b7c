// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// The answers u of the modes left out are found with K + e M, e this part of the square of the top angular frequency,
/// as K alone may be singular.
constexpr double left_out_shift = 1e-4;

/// Stand-ins for the modes above the top frequency, from the answers u (unknowns x loads) of those modes to static
/// loads, M-orthogonal to the modes kept: Ritz vectors of K and M in their span, R0 = u' K u and R1 = u' M u,
///   R1 v = theta R0 v,  lambda = 1 / theta,  u `answers` M-orthonormal and K-orthogonal.
/// They keep sum x x / lambda and sum x x / lambda^2 of the modes left out at the loads (Rubin; Craig and Chang: from
/// memory). Loads that are combinations of others are passed over.
struct LeftOutModes {
  Eigen::VectorXd lambda;   ///< 1/s2
  Eigen::MatrixXd answers;  ///< loads x pseudo-modes
};
LeftOutModes left_out_modes(const Eigen::MatrixXd &flexibility, const Eigen::MatrixXd &slopes);

}  // namespace stillbox
