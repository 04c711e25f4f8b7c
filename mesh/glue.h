// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// Turns places into nodes. On entry the cells and rim faces of `mesh` number their corners by place; on return by
/// node. Two cells share the nodes of a common face unless one of their boards has a side there that is not glued;
/// cells that only touch along an edge or in a corner are not joined.
void glue_cells(const Structure &structure, const std::vector<Eigen::Vector3d> &places, HexMesh &mesh);

}  // namespace stillbox
