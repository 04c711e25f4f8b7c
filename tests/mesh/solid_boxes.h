// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/solid_model.h"
#include "mesh/structure.h"

namespace stillbox {

/// The box of a board that lies along the axes, as a solid.
inline SolidBody solid_of(const Board &board, int index) {
  SolidBody body;
  body.board = index;
  const auto [low, high] = outline_bounds(board);
  for (int k = 0; k < 8; ++k)
    body.corners.push_back(
        board.at(k & 1 ? high.x() : low.x(), k & 2 ? high.y() : low.y(), k & 4 ? board.thickness() : 0));
  body.faces = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
  return body;
}

/// The same boards, butt-jointed, as solids: meshed with tetrahedra.
inline Structure as_solids(Structure s) {
  Solids solids;
  for (std::size_t b = 0; b < s.boards.size(); ++b) solids.bodies.push_back(solid_of(s.boards[b], int(b)));
  s.solids = std::make_shared<const Solids>(solids);
  s.solids = measured_solids(s);
  return s;
}

}  // namespace stillbox
