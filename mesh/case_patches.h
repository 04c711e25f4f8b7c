// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_build.h"

namespace stillbox {

// Internal to the case-file reader: which rectangles of a board's faces a damping sheet covers.

/// A face of a board: the one where the normal coordinate is greatest (outer face of a wall), or the other.
struct CarrierFace {
  int board = -1;
  bool is_high = true;
};

struct Rectangle {
  Eigen::Vector2d low{0, 0}, high{0, 0};  ///< carrier's (u, v), m
};

/// What the file says about one patch, before it meets a board.
struct PatchSpec {
  Reader reader;                     ///< the table that holds `key`
  std::string key;                   ///< whose place a message names
  double part = 1;                   ///< of the clear face, as a centred rectangle; 1: the whole face
  std::vector<double> centre, size;  ///< m, as for a cut-out; empty unless the file gives an area
  bool is_whole() const { return size.empty() && part >= 1; }
};

/// The patches of one [[sheet]]: `covers_percent`, `area`, `areas`, or the whole face. Empty after a problem.
std::vector<PatchSpec> read_patches(const Reader &sheet);

/// The wood that a sheet on this face could cover, m: of a wall's inner face what the other walls leave clear, of all
/// other faces the whole face.
Rectangle clear_face(const Build &b, const CarrierFace &face);

/// The rectangle of a patch on a face. False after reporting that it does not lie on the clear face, is smaller than
/// 10 mm, or that its edge meets a cut-out or leaves less than the least web beside it.
bool place_patch(Build &b, const PatchSpec &patch, const CarrierFace &face, Rectangle &place);

/// False after reporting that `sheet`, not yet among the boards, overlaps another sheet on its face, covers what is
/// glued there (a whole sheet may: it is cut out around that) or has no room.
bool fits_beside_others(Build &b, const PatchSpec &patch, const CarrierFace &face, const Board &sheet,
                        const Place &thickness);

}  // namespace stillbox
