// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// Curved tetrahedra of degree 2 .. 5 that conform across the faces boards share. A cell lists its nodes in the order
/// of `reference`, their places in the unit tetrahedron (corners first).
struct TetMesh {
  int degree = 2;
  Eigen::Matrix<double, Eigen::Dynamic, 3> reference;
  Eigen::Matrix<double, Eigen::Dynamic, 3> nodes;  ///< m
  std::vector<std::vector<int>> cells;
  std::vector<int> cell_board;
};

/// In-plane size of tetrahedra of a board, m: the bending wavelength at the top frequency (as element_size) or so many
/// thicknesses, whichever is less.
double tet_size(const Structure &structure, const Board &board, const MeshOptions &options);

/// Meshes Structure::solids with Gmsh. Errors: MeshError with what could not be made or meshed.
TetMesh make_tet_mesh(const Structure &structure, const MeshOptions &options);

}  // namespace stillbox
