// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// Sets the width of every bond face: the lesser extent, m, of the rectangle that the faces of its bond fill in its
/// plane. Planes that meet along their longer sides, as in a rebate, count as one contact face folded there, and their
/// widths are added. Boards along x, y, z are assumed, the only ones that can touch.
void set_bond_widths(HexMesh &mesh);

}  // namespace stillbox
