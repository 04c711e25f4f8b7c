// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "mesh/inside_mesh.h"
#include "solver/discretisation.h"
#include "solver/monopole_sound.h"
#include "solver/scatter.h"

namespace stillbox {

/// Pressure in the air inside as finite elements: shapes phi over the nodes, K phi = k^2 M phi with K = int grad phi_a
/// . grad phi_b dV, M = int phi_a phi_b dV; walls that nothing moves are the natural boundary.
struct InsideField {
  InsideMesh mesh;
  Discretisation discretisation;
  Eigen::Matrix<double, Eigen::Dynamic, 3> in_box;  ///< the nodes where they are in the box that was meshed
  SparseMatrix stiffness, mass;                     ///< lower triangles
  Eigen::MatrixXd shapes;                           ///< nodes x shapes, M-orthonormal
  Eigen::VectorXd squares;                          ///< k^2 of the shapes, 1/m2
  int standing = 0;                                 ///< the first so many are eigenvectors
  int chambers = 1;                                 ///< parts of the air that are not joined
  double volume = 0;                                ///< m3
};

/// Assembles. `mesh` is taken over.
InsideField make_inside_field(InsideMesh mesh, int degree);

/// Fills shapes with all modes of wave numbers up to `k_top` (1/m), the number proved by inertia.
/// Errors: SolveError.
void solve_standing_waves(InsideField &field, double k_top);

/// (K + tiny M)^-1 loads (nodes x loads) less what the standing waves do: M-orthogonal to them.
Eigen::MatrixXd static_fields(const InsideField &field, const Eigen::MatrixXd &loads);

/// Adds shapes that follow the static fields of `loads` (nodes x loads) as far as the modes do not: Ritz vectors of
/// (K + tiny M)^-1 loads, M-orthogonal to the modes. Loads whose field the modes hold already add nothing.
void add_near_fields(InsideField &field, const Eigen::MatrixXd &loads);

/// Shares of one region: V' K_r V and V' M_r V over its cells. The loads, when
/// asked for, are K_r V and M_r V (nodes x shapes).
struct RegionMatrices {
  Eigen::MatrixXd gradients, masses;
  double volume = 0;
};
RegionMatrices region_matrices(const InsideField &field, int region, Eigen::MatrixXd *gradient_loads = nullptr,
                               Eigen::MatrixXd *mass_loads = nullptr);

/// Estimated relative errors of the standing waves' frequencies after Zienkiewicz and Zhu (1987, from memory):
/// gradients averaged at the nodes against the elements' own; three times half the square of their relative difference,
/// as the eigenvalue is quadratic in the error of the shape and the frequency its root. 0 for even pressure.
/// (inside_error.cpp)
Eigen::VectorXd inside_errors(const InsideField &field);

}  // namespace stillbox
