// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/inside_field.h"
#include "solver/modes.h"

namespace stillbox {

using NodeShapes = std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>>;  ///< displacement of all nodes, per mode

/// W = int N_a u_n dA (air's nodes x wall modes) over all faces of wood that touch the air, N_a the air's shape
/// functions, u_n out of the air: Gauss points of the wood's own faces, the air's shape functions taken there. phi' W
/// is int phi u_n dA. `area` returns the area found, m2.
Eigen::MatrixXd couple_faces(const Model &wood, const NodeShapes &walls, const InsideField &air,
                             double *area = nullptr);

/// What the shapes leave out of the walls' static field: R = W' K^+ W less the shapes' part (walls x walls, m4/kg).
/// Density times R is the mass of the air that higher modes carry along with the walls.
Eigen::MatrixXd wall_residual(const InsideField &air, const Eigen::MatrixXd &W);

/// Weights b (nodes) of the mean over a mouth: b' phi is the mean of phi. By Gauss points along the radius and evenly
/// round it, or over the rectangle. Errors: SolveError when the mouth is not in the air.
Eigen::VectorXd mouth_mean(const InsideField &air, const Mouth &mouth);

/// Mean displacement of a cut-out's rim along `mouth.outwards` in each mode; zeros where the rim was not meshed.
Eigen::VectorXd rim_motion(const Model &wood, const NodeShapes &walls, const Mouth &mouth);

}  // namespace stillbox
