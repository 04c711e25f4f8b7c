// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/modes.h"

namespace stillbox {

/// Estimated relative error of each frequency from the jumps of stress between cells: the stresses are averaged at
/// the nodes over cells of one material and direction, and e = integral of (s* - s) : C^-1 : (s* - s). The eigenvalue
/// is too high by about e, so the frequency by e / (2 lambda); a measured factor of safety of 2.5 is applied. The
/// singular stress at clamped edges is not seen: there the true error is larger.
/// Source: O.C. Zienkiewicz, J.Z. Zhu, Int. J. Numer. Meth. Eng. 24, 337-357, 1987 (from memory); its use for
/// eigenvalues rests on lambda_h - lambda = |u - u_h|^2 in the energy norm for well resolved modes.
Eigen::VectorXd stress_jump_error(const Model &model,
                                  const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes,
                                  const Eigen::VectorXd &lambda);

}  // namespace stillbox
