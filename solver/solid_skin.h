// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/modal_result.h"
#include "solver/modes.h"

namespace stillbox {

// The skin of cabinets made of solids: faces of cells that no other cell shares.

enum class SkinPart {
  outside,  ///< on the outer face of a wall or on another outside plane; the high face of a free board
  rim,      ///< in a cut-out of a wall
  inside    ///< all else: what looks into the rooms, braces too, and the low face and edges of free boards
};

struct SkinFace {
  int cell = 0, face = 0;  ///< face as in Discretisation::RimNodes
  SkinPart part = SkinPart::inside;
  /// Outside: the wall in whose outer face it lies, whichever board's wood shows there; on a chamfer, and elsewhere,
  /// the board of the cell.
  int board = 0;
};

/// All of them. A face is outside when its corners lie within 1 um of one outer face; free boards have an outside where
/// there is no wall.
std::vector<SkinFace> solid_skin(const Model &model);

/// The same of the field of a solution; rims are told by their corners.
std::vector<SkinFace> solid_skin(const Structure &structure, const ModalField &field);

/// Corners of a face of a cell: three of a tetrahedron, four of a hexahedron, these around the face. `tetrahedra` list
/// their corners first, hexahedra their (degree + 1)^3 nodes in order.
std::vector<int> skin_corners(const std::vector<int> &cell, bool tetrahedra, int degree, int face);

/// The boards whose outer faces make the outside: walls, or free boards where there is no wall.
std::vector<int> outside_boards(const Structure &structure);

}  // namespace stillbox
