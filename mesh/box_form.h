// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>

#include "mesh/box_edges.h"
#include "mesh/hex_mesh.h"
#include "mesh/solids.h"

namespace stillbox {

// Hexahedra for cabinets of four upright walls that are no shoe boxes (tapered, trapezoid, leaning, bent): the mesh of
// a box of the same boards, whose nodes are then moved (solver/box_nodes.h). Boards keep their thickness and cut-outs
// their size; in their plane boards of the box are as large as the largest of each pair, so that whatever fits a wall
// fits its likeness in the box.

/// An opening of a window brace: the room narrower by `rim`.
struct BoxWindow {
  int board = 0, cut_out = 0;  ///< of the box's brace
  double rim = 0;
};

struct BoxedShape {
  Structure box;  ///< the same boards in the same order, axis-parallel, its outer low corner at the origin
  BoxEdges edges;
  int brace_axis = -1;      ///< of the box, along which all braces are stacked; -1 without any
  std::vector<int> braces;  ///< boards, from below along that axis
  std::vector<BoxWindow> windows;

  const Board &shape_board(int board) const { return edges.shape->boards[std::size_t(board)]; }
};

/// The box of a cabinet by its footprint, or nothing and `why` ("because ...") it must be made of tetrahedra. `shape`
/// has to live on.
std::optional<BoxedShape> boxed_shape(const Structure &shape, std::string &why);

/// Place of a cut-out's rim in the board's coordinates of the shape, from that in the box.
Eigen::Vector2d rim_in_shape(const BoxedShape &b, int board, int cut_out, const Eigen::Vector2d &in_box);

/// The same for the opening of a window brace; `depth` 0 at the brace's low face, 1 at its high one.
Eigen::Vector2d window_in_shape(const BoxedShape &b, const BoxWindow &window, const Eigen::Vector2d &in_box,
                                double depth);

/// Hexahedra of the box, in its own coordinates: as make_hex_mesh, with lines across bent walls and notches for bevels.
/// Errors: MeshError. (box_mesh.cpp)
HexMesh make_box_mesh(const BoxedShape &b, const MeshOptions &options);

}  // namespace stillbox
