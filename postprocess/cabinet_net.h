// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// Where a face lies on the sheet: board point (u, v) goes to corner + u * along_u + v * along_v. Sheet axes: x to the
/// right, y up, m.
struct Placement {
  std::size_t face = 0;  ///< index into the faces
  Eigen::Vector2d corner{0, 0}, along_u{1, 0}, along_v{0, 1};
};

struct SheetLayout {
  bool unfolded = false;  ///< true: a cabinet's net; false: boards side by side
  std::vector<Placement> placements;
  Eigen::Vector2d low{0, 0}, high{0, 0};  ///< bounds, m
};

/// Cabinet: the walls named baffle, back, left, right, top, bottom (role "wall", world axes as in mesh/structure.h) are
/// unfolded as seen from outside: the baffle in the middle, left, right, top and bottom folded out from its edges, the
/// back folded out from the right wall. Touching edges of the cabinet lie next to each other, so the bottom appears
/// with its front edge up. Braces and sheets are not shown. Without such walls: the free boards side by side (all but
/// sheets when there are none), each with u to the right and v up. Faces with fewer than 2 x 2 points or no wood are
/// skipped. Walls that do not fold out (bent, leaning or with other names) lie side by side with the braces, or without
/// them where `walls_only`.
SheetLayout lay_out(const std::vector<FaceSamples> &faces, bool walls_only = false);

}  // namespace stillbox
