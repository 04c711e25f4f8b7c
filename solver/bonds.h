// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"
#include "solver/unknowns.h"

namespace stillbox {

/// The springs of one bonded face between two cells: energy 1/2 u' K u with u the displacements of `nodes`, component
/// fastest, and u' K u = integral over the face of k_n (n . j)^2 + k_s |j - (n . j) n|^2, j = u_b - u_a. k_n and k_s
/// (N/m3) are the bond's line stiffnesses over the width of its contact face. Exact for the flat faces that bonds have.
struct BondCell {
  int bond = 0;               ///< index into Structure::bonds
  std::vector<int> nodes;     ///< of the face in the first cell, then those of the second at the same places
  CellUnknowns unknowns;      ///< behind the 3 n displacements; for lower_neighbours and Scatter::add
  Eigen::MatrixXd stiffness;  ///< 3 n x 3 n, symmetric
};

/// All bonded faces of a mesh. Errors: SolveError when the nodes of the two sides do not match.
std::vector<BondCell> bond_cells(const Structure &structure, const HexMesh &mesh, const Discretisation &d,
                                 const Unknowns &unknowns);

/// x' K_b x per bond (Structure::bonds x modes): twice the strain energy of its springs, J. With M-orthonormal modes it
/// adds to the layers' strain energies to give lambda. `shapes`: nodal displacements of each mode (nodes x 3).
Eigen::MatrixXd bond_energies(const Structure &structure, const std::vector<BondCell> &cells,
                              const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes);

}  // namespace stillbox
