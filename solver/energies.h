// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/modes.h"

namespace stillbox {

/// Boards that grow together when a thickness tolerance is used up: those of one material and thickness, cut from the
/// same stock. Their slabs are stretched along the boards' normals; what lies beyond shifts.
struct ThicknessGroup {
  std::string name;
  double thickness = 0, tolerance = 0;  ///< m
  std::vector<int> boards;
};
std::vector<ThicknessGroup> thickness_groups(const Structure &structure);

/// Energies of M-orthonormal modes. strain(l, i): integral of stress : strain over layer l in mode i (J, twice the
/// energy); summed over all layers and added to the springs' part it is lambda_i. kinetic(l, i): integral of rho |u|^2.
/// stretch(g, i): exact derivative x' (dK/de - lambda dM/de) x of lambda for a relative growth e of the thickness of
/// group g, with dK/de = integral of stress : strain - 2 (stress n) . (du/dn) over the stretched slabs.
struct Energies {
  Eigen::MatrixXd strain, kinetic;  ///< layers (CellLaws::layers) x modes
  Eigen::MatrixXd stretch;          ///< groups x modes
};

/// `shapes`: nodal displacements of each mode (nodes x 3); `lambda`: eigenvalues.
Energies modal_energies(const Model &model, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes,
                        const Eigen::VectorXd &lambda, const std::vector<ThicknessGroup> &groups);

/// Nodal values of all modes in one cell: nodes x (3 modes), mode-major (u, v, w of mode 0, of mode 1, ...).
Eigen::MatrixXd cell_values(const Model &model, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes,
                            int cell);

/// Strain in Voigt order with engineering shears from the displacement gradient H(i, k) = du_i/dx_k.
Eigen::Matrix<double, 6, 1> voigt_strain(const Eigen::Matrix3d &H);

}  // namespace stillbox
