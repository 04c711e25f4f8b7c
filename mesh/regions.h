// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <set>
#include <vector>

#include "mesh/stacks.h"

namespace stillbox {

/// A part of a board, between what is glued on it, that has cut-outs and is meshed as one flat region: columns of the
/// grid through the board and the sheets it carries. In-plane axes are a = (c + 1) % 3 and b = (c + 2) % 3 with c the
/// axis of the board's normal.
struct Region {
  int board = 0;
  int c = 2;
  int first_block = 0, end_block = 0;       ///< blocks along c: [first, end)
  std::vector<std::array<int, 2>> columns;  ///< (block along a, block along b)
  std::vector<int> cut_outs;                ///< indices into the board's cut-outs
  /// Boundary along grid lines, each loop as corners (line along a, line along b); outer loops counter-clockwise.
  std::vector<std::vector<std::array<int, 2>>> loops;
};

/// All regions of the given box boards. Errors: MeshError when a cut-out meets what is glued on its board.
std::vector<Region> find_regions(const Structure &structure, const Grid &grid, const std::set<int> &boards);

/// A straight side of a boundary loop: intervals [first, end) of the grid along axis a (direction 0) or b (1).
struct StraightSide {
  int direction = 0, first = 0, end = 0;
};
std::vector<StraightSide> straight_sides(const std::vector<std::array<int, 2>> &loop);

}  // namespace stillbox
