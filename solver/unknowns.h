// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <Eigen/Sparse>
#include <utility>
#include <vector>

#include "mesh/structure.h"
#include "solver/discretisation.h"
#include "solver/node_roles.h"

namespace stillbox {

/// How the displacement of the nodes follows from the unknowns of the eigenproblem. A free displacement component is
/// an unknown; a supported one is zero; the rim of a cut-out with a rigid basket follows the six of a rigid body:
/// u = t + r x (x - x0); a follower follows its leaders. Unknowns come in blocks: one per node (up to 3) and one per
/// basket (6).
struct Unknowns {
  int count = 0;
  std::vector<int> block_start;               ///< first unknown of each block, and `count` at the end
  std::vector<int> node_block;                ///< block of each node, -1 when wholly supported or a follower
  std::vector<std::array<int, 3>> component;  ///< unknown of a node's component, -1 when zero, rigid or following
  std::vector<int> node_body;                 ///< rigid basket that the node belongs to, or -1
  std::vector<Eigen::Vector3d> body_centre;   ///< x0 of each basket
  std::vector<int> body_block;
  std::vector<Follower> followers;
  std::vector<int> node_follower;  ///< index into `followers`, or -1
  /// Unknowns of inner nodes come last, cell by cell: first unknown of each such cell, and `count` at the end.
  std::vector<int> inner_start;
};

/// Of the followers those take effect whose leaders and themselves are free, neither supported nor on a rigid basket.
/// Errors: SolveError when a support or basket finds no nodes, or a rim is both rigid and supported.
Unknowns number_unknowns(const Structure &structure, const Discretisation &d, const NodeRoles &roles = {});

/// Displacement of all nodes (nodes x 3) for a vector of unknowns.
Eigen::Matrix<double, Eigen::Dynamic, 3> expand(const Unknowns &unknowns, const Discretisation &d,
                                                const Eigen::VectorXd &x);

/// The unknowns that reproduce given nodal displacements as well as the constraints allow (exact for rigid motion of
/// an unsupported structure).
Eigen::VectorXd restrict_rigid(const Unknowns &unknowns, const Discretisation &d, const Eigen::Vector3d &shift,
                               const Eigen::Vector3d &rotation, const Eigen::Vector3d &about);

/// Three shifts and three rotations of the whole (about the middle of the nodes, by one part of its size) as columns.
Eigen::MatrixXd whole_motions(const Unknowns &unknowns, const Discretisation &d);

/// Unknowns and coefficients behind the 3 n displacement components of a cell's nodes (component fastest):
/// u_cell = T x(list). `plain` when T is the identity on existing unknowns.
struct CellUnknowns {
  std::vector<int> list;    ///< unknowns, each once, ordered by block
  std::vector<int> blocks;  ///< the blocks they come from
  bool plain = true;
  Eigen::SparseMatrix<double> T;  ///< 3 n x list, only when not plain
  std::vector<int> position;      ///< plain: place in `list` of each component
};
CellUnknowns cell_unknowns(const Unknowns &unknowns, const Discretisation &d, int cell);

}  // namespace stillbox
