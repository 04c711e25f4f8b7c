// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/modes.h"

namespace stillbox {

// The skin of cabinets made of solids: faces of tetrahedra that no other cell shares.

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

/// The same of any tetrahedra whose cells list their corners first, and their boards; rims are told by their corners.
std::vector<SkinFace> solid_skin(const Structure &structure, const std::vector<std::vector<int>> &cells,
                                 const std::vector<int> &cell_board,
                                 const Eigen::Matrix<double, Eigen::Dynamic, 3> &points);

/// The boards whose outer faces make the outside: walls, or free boards where there is no wall.
std::vector<int> outside_boards(const Structure &structure);

}  // namespace stillbox
