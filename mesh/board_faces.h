// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

/// An edge of a solid: its ends and its middle, m. Round edges are arcs.
struct SolidEdge {
  Eigen::Vector3d from{0, 0, 0}, middle{0, 0, 0}, to{0, 0, 0};
  bool is_straight = true;
  int curve = 0;  ///< the same number seen from both faces that meet there
};

/// A face of a board's solid.
struct PartFace {
  enum class Kind { flat, round, other } kind = Kind::flat;  ///< round: part of a cylinder
  Eigen::Vector3d normal{0, 0, 1};                           ///< flat: unit normal, of either sign
  double area = 0;                                           ///< m2
  std::vector<std::vector<SolidEdge>> loops;                 ///< closed, the outer one first
};

struct BoardFaces {
  int pieces = 1;
  std::vector<PartFace> faces;
};

/// The exact faces of every board of Structure::solids: a [shape]'s and a STEP file's, cut-outs and chamfers taken off.
/// Errors: MeshError.
std::vector<BoardFaces> board_faces(const Structure &structure);

}  // namespace stillbox
