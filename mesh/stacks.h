// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <map>
#include <vector>

#include "mesh/grid.h"

namespace stillbox {

/// A column of the grid through a board: (block along a, block along b), with a = (c + 1) % 3, b = (c + 2) % 3 the
/// in-plane axes and c the axis of the board's normal.
using Column = std::array<int, 2>;

/// What a column holds along the board's normal: the board and its sheets, blocks [first, end).
struct Stack {
  int first = -1, end = -1;
  std::vector<Owner> owners;
  bool free = false;  ///< nothing is glued on either face
};

/// The free columns of a board, where a cut-out can be.
struct FreeColumns {
  int board = 0, c = 2, a = 0, b = 1;
  std::map<Column, Stack> stacks;

  bool same(const Column &x, const Column &y) const;
};
FreeColumns free_columns(const Structure &structure, const Grid &grid, int board);

/// The columns that the rectangle [low, high] of the plane (a, b) meets.
std::vector<Column> columns_under(const Grid &grid, int c, const Eigen::Vector2d &low, const Eigen::Vector2d &high);

/// Centre of a cut-out and its extents in the plane (a, b) of the world axes next to axis c.
struct PlanarCutOut {
  Eigen::Vector2d centre{0, 0};
  double width = 0, height = 0;
};
PlanarCutOut in_plane(const Board &board, const CutOut &cut_out, int c);

}  // namespace stillbox
