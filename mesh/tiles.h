// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <vector>

#include "mesh/flat_region.h"
#include "mesh/stacks.h"
#include "mesh/ticks.h"

namespace stillbox {

/// A rectangle of ticks around one cut-out of a board, filled by rings of quadrilaterals from its sides to the rim of
/// the cut-out. Far fewer elements than an unstructured mesh needs; what it cannot do is left to that.
struct Tile {
  int board = 0, cut_out = 0, c = 2;
  std::array<int, 2> first{}, last{};  ///< ticks along a and b
  int first_block = 0, end_block = 0;  ///< blocks along c: [first, end)
  Column column{};                     ///< one of its columns, to ask the grid for owners
};

/// What find_tiles found: the tiles of a board; or that an interval of the ticks needs one element more; or neither.
struct TileSearch {
  std::optional<std::vector<Tile>> tiles;
  std::optional<std::array<int, 2>> refine;  ///< axis, interval
};
struct PlanView;  // mesh_plan.h
/// Tiles that do for all views; the first is the reference.
TileSearch find_tiles(const std::vector<PlanView> &views, int board);

/// How many rings of quadrilaterals a tile gets in all views. `size`: the board's element size, m.
int tile_rings(const std::vector<PlanView> &views, const Tile &tile, double size);

/// The quadrilaterals of a tile. The first nodes are the ticks of its boundary, counter-clockwise from the low corner,
/// given in `point_ticks`.
FlatRegion mesh_tile(const Structure &structure, const Ticks &ticks, const Tile &tile, int rings,
                     std::vector<std::array<int, 2>> &point_ticks);

}  // namespace stillbox
