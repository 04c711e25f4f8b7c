// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <vector>

namespace stillbox {

/// A closed boundary of a flat region. Points alternate: even ones are the corners of the coarse mesh, odd ones halve
/// its edges, so their number is even (at least 6). Outer loops run counter-clockwise, inner ones clockwise.
using BoundaryLoop = std::vector<Eigen::Vector2d>;

/// Quadrilaterals that fill the region; corners counter-clockwise. The first nodes are the points of the loops, in
/// order.
struct PlanarQuads {
  std::vector<Eigen::Vector2d> nodes;
  std::vector<std::array<int, 4>> quads;
  double least_quality = 0;  ///< least scaled corner Jacobian, 1 = all rectangles
};

/// Meshes the region inside loops[0] and outside the others: Gmsh makes triangles of about twice `size`,
/// pairs of them are merged where that gives a good quadrilateral, each polygon is split about its centre into
/// quadrilaterals, interior nodes are smoothed.
/// Errors: std::runtime_error with Gmsh's words.
/// `algorithm` is Gmsh's number of its triangulation (6 frontal, 5 Delaunay).
PlanarQuads make_planar_quads(const std::vector<BoundaryLoop> &loops, double size, int algorithm);

}  // namespace stillbox
