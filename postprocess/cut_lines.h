// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <vector>

#include "mesh/board_faces.h"
#include "mesh/structure.h"

namespace stillbox {

// Internal to solid_cut and what draws it: lines in the plane of a board.

constexpr double same_cut_place = 2e-6;  ///< m

/// A line or an arc of a board's drawing, in (u, v) less the low corner of its wood, m.
struct CutLine {
  Eigen::Vector2d from{0, 0}, middle{0, 0}, to{0, 0};
  bool is_straight = true;
};

/// The arc of a line that is none, anticlockwise for sweep > 0, rad. Nothing where the three points lie in a row.
struct CutArc {
  Eigen::Vector2d centre{0, 0};
  double radius = 0, from = 0, sweep = 0;
  Eigen::Vector2d at(double part) const;
};
std::optional<CutArc> arc_of(const CutLine &line);

/// An edge of the solid, and a closed row of them, anticlockwise, in the coordinates of its flat board.
CutLine flat_line(const Board &board, const SolidEdge &edge);
std::vector<CutLine> flat_loop(const Board &board, const std::vector<SolidEdge> &loop);

/// Takes `by` off all places.
void shift(std::vector<CutLine> &lines, const Eigen::Vector2d &by);

/// Corners of a closed row, and points along its arcs.
std::vector<Eigen::Vector2d> points_of(const std::vector<CutLine> &loop);

/// Twice the area of the triangle of three points, above 0 where they turn left.
double turn(const Eigen::Vector2d &a, const Eigen::Vector2d &b, const Eigen::Vector2d &c);

bool is_convex(const std::vector<Eigen::Vector2d> &polygon);

/// The convex hull, anticlockwise, without points on its sides (Andrew's monotone chain).
std::vector<Eigen::Vector2d> hull_of(std::vector<Eigen::Vector2d> points);

bool is_inside(const std::vector<Eigen::Vector2d> &polygon, const Eigen::Vector2d &point);

}  // namespace stillbox
