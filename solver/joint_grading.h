// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"
#include "solver/node_roles.h"

namespace stillbox {

/// A node that goes to x_low + share (x_high - x_low) along one world axis, between two other nodes.
struct NodeShift {
  int node = 0, axis = 0, low = 0, high = 0;
  double share = 0;
};

/// What nodes of hexahedra do because of joints: the others follow (node_roles.h), those at joints move.
struct JointNodes {
  NodeRoles roles;
  std::vector<NodeShift> shifts;
};

/// The roles in a structure of boxes, and how to move the nodes of the small cells at joints and at the rims of rigid
/// baskets towards the faces of the boards, so that polynomials follow the stress that gathers in inner corners: a
/// board's edge presses into the soft face of another much as a rigid punch does, with displacements that go with the
/// root of the distance. In a cell between a face and the next plane of the mesh, nodes at a share t of the way go to
/// t (1 - g) + g t^2, g = 0.7 and less where boards are thin beside the elements of their waves, as joints matter less
/// there; quarter points have g = 1 (Barsoum, Int. J. Num. Meth. Eng. 10, 1976). It takes no more unknowns. None below
/// degree 3.
/// Faces: the inner ones of walls, both of braces and free boards, at rims the outer ones of walls too. Cells: touching
/// a line where two such faces meet or a rim; with an end on such a face, the other on none, no longer than the
/// thinnest board is thick. Nodes: those near joints (near_joints). `d` holds them unmoved.
JointNodes joint_nodes(const Structure &structure, const HexMesh &mesh, const Discretisation &d,
                       const MeshOptions &options);

/// The nodes' places after the shifts: nodes x 3, m. `d` may be of another mesh of the same cells.
Eigen::Matrix<double, Eigen::Dynamic, 3> graded_points(const std::vector<NodeShift> &shifts, const Discretisation &d);

}  // namespace stillbox
