// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "mesh/solids.h"
#include "mesh/structure.h"

namespace stillbox {

// Cabinets by their footprint, and tubes: from corners, slopes and radii to boards and solids. SI units.

/// One upright wall of a footprint, from its corner to the next, anticlockwise seen from above.
struct ShapeWall {
  std::string name;
  Eigen::Vector2d corner{0, 0};  ///< where it starts on the outside, at the bottom
  double thickness = 0;
  double slope = 0;   ///< rad: its upper edge leans towards the inside
  double radius = 0;  ///< of the outer face; > 0 bulges outwards, < 0 is hollow, 0 is flat
  int rank = 0;       ///< at a butt joint the lower one runs through
};

struct Shape {
  std::vector<ShapeWall> walls;
  double height = 0, top_thickness = 0, bottom_thickness = 0;
  int top_rank = 0, bottom_rank = 0;
  bool mitred = false;  ///< the corners between upright walls; always where a wall is bent
};

/// What does not fit: of which wall (empty: of the whole), in words, and what to do.
struct ShapeError {
  std::string wall, what, advice;
};

/// Boards (walls in order, then top and bottom, each with one layer of material 0), their solids and the room inside.
struct ShapedCabinet {
  std::vector<Board> boards;
  std::vector<std::vector<Eigen::Vector2d>> clear;  ///< flat boards: the room's face in board coordinates
  Solids solids;                                    ///< bodies and rooms.front()
  std::vector<Eigen::Vector3d> room_points;         ///< corners and points along bent edges of the room
  std::vector<BoxForm::Window> windows;             ///< of the braces, whatever the form
};
std::optional<ShapeError> shape_error(const Shape &shape);
ShapedCabinet make_shaped_cabinet(const Shape &shape);

/// The room inside all walls.
SolidBody room_of(const Shape &shape);
/// The room inside rims (m, by board) for the opening of a window from `low` to `high` (m) along an axis. Nothing where
/// they leave a wall no edge of 2 mm at the window's heights.
std::optional<SolidBody> room_within(const Shape &shape, const std::vector<double> &rims, int axis, double low,
                                     double high);

/// A round tube along a world axis (0, 1, 2) from 0 on, its axis at (R, R) of the other two.
struct Tube {
  int axis = 2;
  double diameter = 0, wall = 0, length = 0, low_thickness = 0, high_thickness = 0;
  bool inset = true;  ///< the ends sit within the tube, else they cover it
};
/// Boards: tube, low end, high end.
ShapedCabinet make_tube_cabinet(const Tube &tube, const std::array<std::string, 2> &end_names);
SolidBody room_of(const Tube &tube);
std::optional<SolidBody> room_within(const Tube &tube, const std::vector<double> &rims);

/// The prism that bevels the edge between two flat walls: legs `a` along the first and `b` along the second from the
/// edge. `margin`: wood left above the inner corner, m; negative when the bevel reaches inside.
struct Chamfer {
  SolidBody body;
  std::pair<Eigen::Vector3d, Eigen::Vector3d> plane;
  double margin = 0;
};
Chamfer make_chamfer(const ShapedCabinet &cabinet, int first, int second, double a, double b);

/// `rim` for each wall at which a slab square to a world axis ends, 0 for walls above and below it. By board.
std::vector<double> rims_at(const ShapedCabinet &cabinet, int axis, double low, double high, double rim);

/// A slab across the whole cabinet, square to a world axis.
SolidBody slab(const ShapedCabinet &cabinet, int axis, double low, double high);

}  // namespace stillbox
