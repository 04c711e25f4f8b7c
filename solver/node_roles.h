// SPDX-License-Identifier: MIT
#pragma once
#include <utility>
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"

namespace stillbox {

/// A node whose displacement is a combination of others': u = sum of weight u(leader). Leaders follow nobody, and the
/// weights reproduce rigid motion.
struct Follower {
  int node = 0;
  std::vector<std::pair<int, double>> leaders;
};

/// What makes the eigenproblem smaller without changing what it can say of the modes.
struct NodeRoles {
  std::vector<Follower> followers;
  std::vector<int> inner_cell;  ///< per node: the only cell whose matrix it enters, or -1; empty: none
};

/// Nodes of the cells that touch another board than their own and its sheets (glued, mitred or bonded), or a rim of a
/// cut-out: 1, others 0.
std::vector<char> near_joints(const Structure &structure, const HexMesh &mesh, const Discretisation &d);

/// Boards of a joined structure have two elements through the thickness, which only joints need: boards are soft
/// there. Elsewhere one polynomial of the elements' degree p through the whole thickness says as much. For each column
/// of nodes across a board away from joints, all but p + 1 of its nodes follow the polynomial through those.
/// Columns of cells at a joint (glued, mitred or bonded to another board than a sheet) or at the rim of a rigid
/// basket are left as they are, and so are boards thicker than the element size that `options` asks for, where the
/// second element is there for the waves. `near` from near_joints.
std::vector<Follower> plain_columns(const Structure &structure, const HexMesh &mesh, const std::vector<char> &near,
                                    const Discretisation &d, const MeshOptions &options);

/// The nodes that enter the matrix of one cell only, themselves or as leaders; none in cells with a bonded face.
std::vector<int> inner_cells(const HexMesh &mesh, const Discretisation &d, const std::vector<Follower> &followers);

}  // namespace stillbox
