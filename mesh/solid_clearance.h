// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/structure.h"

namespace stillbox {

/// Distance (m) along a board's outer face from a place (board coordinates) to what chamfers take of it, negative
/// within; large where there are none. Exact for the nearest side, too small beside a corner of what is taken.
double chamfer_clearance(const Structure &structure, int board, const Eigen::Vector2d &uv);

/// True where a round patch of this radius (m) on the board's outer face lies on wood of its solid in the STEP file:
/// the middle and eight points of the rim are asked, 0.02 mm under the face. Errors: StepError when the file is gone.
bool is_wood_of_step(const Structure &structure, int board, const Eigen::Vector2d &uv, double radius);

/// The corners of a flat board's outer face, chamfers taken off, in board coordinates; a disc as a polygon of 96.
/// Nothing for a rectangle, a bent board, and the solids of a STEP file, whose faces are not known here.
std::vector<Eigen::Vector2d> outer_face_outline(const Structure &structure, int board);

}  // namespace stillbox
