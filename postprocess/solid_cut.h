// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "mesh/structure.h"
#include "postprocess/cut_lines.h"

namespace stillbox {

/// An edge of a board as it is sawn.
struct EdgeCut {
  CutLine line;                 ///< on the face where the board is longer
  double length = 0;            ///< m
  double angle = 0;             ///< rad from square: what the saw is tilted by, 0 .. pi/2
  bool outer_is_longer = true;  ///< where the long point is; of a brace the high face
  bool is_chamfer = false;      ///< takes only part of the thickness
  double depth = 0;             ///< m of the thickness
  std::string with;             ///< the board it meets; empty: a free edge
};

/// What cutting a board of a [shape], or a plain flat board of a STEP file, takes. Made from the exact solid.
struct SolidCut {
  Eigen::Vector2d low{0, 0}, high{0, 0};  ///< extent of the wood in board coordinates; of a bent board laid flat
  std::vector<CutLine> outline;           ///< of the blank: as seen square to the board
  std::vector<CutLine> other_edges;       ///< edges of both faces within it
  std::vector<CutLine> openings;          ///< holes that no cut-out describes
  std::vector<EdgeCut> edges;
  std::vector<std::pair<std::string, std::vector<CutLine>>> marks;  ///< where others stand on its inner face
  /// A bent board laid flat: lengths along its outer face, half-way and along its inner face, m.
  struct Bent {
    double outer = 0, middle = 0, inner = 0, radius = 0;
    bool is_tube = false;
  };
  std::optional<Bent> bent;
};

/// Every board's. Errors: CaseError (with the path) naming a board of a STEP file that is no plain flat board, and why;
/// MeshError.
std::vector<SolidCut> solid_cuts(const Structure &structure, const std::string &path);

/// "bevel 12.4 deg with left, longer outside", "chamfer 45 deg, 12 deep", "laid flat 412.3 outside, ...".
std::string edge_words(const Structure &structure, int board, const EdgeCut &edge);
std::string bent_words(const SolidCut::Bent &bent);

}  // namespace stillbox
