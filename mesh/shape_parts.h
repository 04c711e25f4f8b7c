// SPDX-License-Identifier: MIT
#pragma once
#include <cmath>

#include "mesh/shape_boards.h"

namespace stillbox {

// Internal to the makers of shapes: pieces they share.

/// Points with normal . x = offset, and where three such planes meet.
struct Plane {
  Eigen::Vector3d normal;
  double offset;
};
Eigen::Vector3d meet(const Plane &a, const Plane &b, const Plane &c);

/// A body between two rings of as many corners, the lower one anticlockwise as seen from the upper.
SolidBody between(const std::vector<Eigen::Vector3d> &low, const std::vector<Eigen::Vector3d> &high);

/// Corners of a loop, with points along its arcs.
std::vector<Eigen::Vector2d> points_of(const ProfileLoop &loop);

/// A wall with a name and one layer, without a place yet.
Board wall_board(const std::string &name, double thickness);

}  // namespace stillbox
