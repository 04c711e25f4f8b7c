// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <vector>

#include "mesh/mesh_error.h"
#include "mesh/structure.h"

namespace stillbox {

/// Which board owns a block of the grid; `mate` is the second board of a mitre, -1 otherwise.
struct Owner {
  int board = -1, mate = -1;
  int layer = 0, mate_layer = 0;  ///< of `board` and of `mate`
  bool operator==(const Owner &o) const {
    return board == o.board && mate == o.mate && layer == o.layer && mate_layer == o.mate_layer;
  }
};

/// All axis-aligned box boards on one rectilinear grid whose lines are the faces of the boards, of their layers and
/// of the openings of window braces. Block (i, j, k) lies between lines i and i + 1 along x, and so on.
struct Grid {
  std::array<std::vector<double>, 3> lines;  ///< m, increasing
  std::vector<Owner> owners;                 ///< by index(); board -1 where there is no wood
  std::array<std::vector<std::pair<double, double>>, 3>
      relief;  ///< strips along joints that get an element of their own

  std::array<int, 3> blocks() const {
    return {int(lines[0].size()) - 1, int(lines[1].size()) - 1, int(lines[2].size()) - 1};
  }
  int index(const std::array<int, 3> &b) const {
    const auto n = blocks();
    return b[0] + n[0] * (b[1] + n[1] * b[2]);
  }
  bool inside(const std::array<int, 3> &b) const {
    const auto n = blocks();
    for (int a = 0; a < 3; ++a)
      if (b[a] < 0 || b[a] >= n[a]) return false;
    return true;
  }
  /// Owner of a block; no board outside the grid.
  Owner owner(const std::array<int, 3> &b) const { return inside(b) ? owners[index(b)] : Owner{}; }
  /// True when the interval lies between a face and its relief line.
  bool is_relief(int axis, int i) const;
  double extent(int axis, int i) const { return lines[axis][i + 1] - lines[axis][i]; }
  double volume(const std::array<int, 3> &b) const { return extent(0, b[0]) * extent(1, b[1]) * extent(2, b[2]); }
};

/// True for an opening whose edges are lines of the grid: one that another board enters. Other openings are left to
/// the flat mesher like any cut-out.
bool cut_by_grid(const Structure &structure, int board, const CutOut &cut_out);

/// World axis (0, 1, 2) along which a vector points.
int axis_of(const Eigen::Vector3d &direction);

/// Builds the grid of all box boards. Errors: MeshError when the boards overlap without a rule for it.
/// `relief` > 0 adds lines at that many board thicknesses from the faces of walls and braces, `two_layers`
/// lines within the boards, for small elements at the inner corners of joints.
Grid make_grid(const Structure &structure, double relief = 0, bool two_layers = false);

/// Part of a block, 0 to 1, that belongs to its owner's board; the rest belongs to the mate. See mesh/mitre.h.
double part_of_first(const Structure &structure, const Grid &grid, const std::array<int, 3> &block);

/// Fills in the owners of the blocks between lines that are there already. Errors: MeshError, as make_grid.
void settle_owners(const Structure &structure, Grid &grid);

/// Wood volume per board and the litres inside, from the description alone (no mesh).
/// Cut-outs are taken through the board and through the sheets that lie over them. What a sheet adds is its own
/// board_mass; the litres it takes are its own volume, unless it lies outside.
struct Volumes {
  std::vector<double> board;       ///< m3
  std::vector<double> board_mass;  ///< kg
  double inner = 0;                ///< m3 of air between the walls, 0 without a cabinet
  double mass = 0;                 ///< kg, boards and fittings
};
Volumes volumes_of(const Structure &structure);

}  // namespace stillbox
