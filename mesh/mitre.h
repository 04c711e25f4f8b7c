// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/structure.h"

namespace stillbox {

/// How far a point lies on the first board's side of a mitre: z1 / h1 - z2 / h2, with the distance z from each board's
/// inner face in parts of its thickness h. Positive on the side of the first, zero on the cut, which runs from the
/// inner to the outer edge of the corner.
double mitre_side(const Board &first, const Board &second, const Eigen::Vector3d &point);

/// Part of a box, 0 to 1, on the first board's side of a mitre between two boards along the axes, which meet at a
/// right angle: exact, from the squares of the distances of the four corners from the cut. Source: the area of a
/// rectangle on one side of a straight line, recomputed.
double mitre_part(const Board &first, const Board &second, const Eigen::Vector3d &low, const Eigen::Vector3d &high);

}  // namespace stillbox
