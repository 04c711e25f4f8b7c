// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// Turns places into nodes. On entry the cells and rim faces of `mesh` number their corners by place; on return by
/// node. Two cells share the nodes of a common face unless one of their boards has a side there that is not glued or a
/// bond names the two; cells that only touch along an edge or in a corner are not joined. Fills `bond_faces`.
/// Errors: MeshError when a bond finds no place where its boards touch.
void glue_cells(const Structure &structure, const std::vector<Eigen::Vector3d> &places, HexMesh &mesh);

}  // namespace stillbox
