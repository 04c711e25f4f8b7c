// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/planar_quads.h"
#include "mesh/structure.h"

namespace stillbox {

/// A circle in the plane of a region that boundary edges lie on.
struct Arc {
  Eigen::Vector2d centre{0, 0};
  double radius = 0;
};

/// Boundary of a cut-out or of a whole board, ready for make_planar_quads, and for each edge (point i to i + 1) the
/// number of its arc in `arcs`, or -1 where it is straight.
struct OutlineLoop {
  BoundaryLoop points;
  std::vector<int> edge_arc;
  std::vector<Arc> arcs;
};

/// Clockwise loop of a cut-out whose extents along the first and second axis of the plane are `width` and `height`.
/// `size`: wanted element size, m. `gap`: least distance to the next boundary; arcs are split until their height over
/// the chord is a small part of it.
OutlineLoop cut_out_loop(CutOutShape shape, const Eigen::Vector2d &centre, double width, double height, double size,
                         double gap);

/// Counter-clockwise loop of a board that stands alone (polygon or disc).
OutlineLoop board_loop(const Board &board, double size);

/// Distance of a point from the straight line between a and b, m.
double segment_distance(const Eigen::Vector2d &point, const Eigen::Vector2d &a, const Eigen::Vector2d &b);

/// Least distance between the points of one loop and the edges of another, m.
double loop_distance(const BoundaryLoop &points, const BoundaryLoop &edges);

}  // namespace stillbox
