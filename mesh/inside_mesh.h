// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// Bricks that fill the air inside a cabinet: the box between the inner faces of the walls without braces, sheets and
/// boards. Holes of braces are open; one that is not a rectangle becomes the rectangle of the same area (Rayleigh: an
/// opening conducts nearly as a circle of its area). Cut-outs of walls are closed, flush with the wall's inner face.
struct InsideMesh {
  HexMesh mesh;             ///< every cell has board 0
  std::vector<int> region;  ///< by cell: index into Structure::linings, -1 where there is plain air
  CabinetFrame frame;       ///< of the box that was meshed
  /// Of a [shape]: from the box to the place in the room (box_room.h). Empty: nodes are in place.
  std::function<Eigen::Vector3d(const Eigen::Vector3d &)> place;
};

struct InsideMeshOptions {
  double size = 0.05;  ///< m, largest element
};

/// Elements end at the outline of every driver's and port's cut-out (its square of the same area) and half its width
/// in front of it, so that the near field of a cone or mouth is followed; likewise beside holes of braces.
/// A [shape] is meshed as the box of its form (box_form.h).
/// Errors: MeshError without a cabinet or one of that form, without any air inside, or when a slanted or round board
/// lies inside.
InsideMesh make_inside_mesh(const Structure &structure, const InsideMeshOptions &options);

/// True when make_inside_mesh can be asked: a cabinet, or a [shape] of its form with at most one hole in each brace.
bool has_inside_mesh(const Structure &structure);

/// The rectangle of the same area as a hole, its longer side kept: full width and height.
Eigen::Vector2d equal_rectangle(const CutOut &cut_out);

/// What a driver or a port of a wall drives the air with: a flat disc or rectangle.
struct Mouth {
  std::string name;  ///< of the cut-out
  int board = 0, cut_out = 0;
  int port = -1;  ///< index into Structure::ports
  bool has_driver = false;
  Eigen::Vector3d centre{0, 0, 0};  ///< m: in the wall's inner face; of a port in the plane of its inner mouth
  Eigen::Vector3d u{1, 0, 0}, v{0, 1, 0}, outwards{0, 0, 1};
  bool is_round = true;
  double width = 0, height = 0;  ///< m, along u and v
  double area = 0;               ///< m2
};

/// All cut-outs of the walls, closed ones too, in the order of the boards. Empty without a cabinet.
std::vector<Mouth> mouths_of(const Structure &structure);

}  // namespace stillbox
