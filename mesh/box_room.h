// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <memory>
#include <vector>

#include "mesh/box_form.h"

namespace stillbox {

/// The hole of a brace as part of the room: by fractions 0 .. 1 of the room across the braces' axis, lines in the box
/// and where their crossings are in the shape, as fractions and as places of the brace's middle plane. Without a hole
/// both are even thirds.
struct RoomHole {
  std::array<std::array<double, 4>, 2> lines{};               ///< by direction, the room's ends included
  std::array<std::array<Eigen::Vector2d, 4>, 4> fractions{};  ///< [line of the first direction][of the second]
  std::array<std::array<Eigen::Vector3d, 4>, 4> places{};
  double level = 0;  ///< of the brace's middle plane, in the box
};

/// From places in the room of the box to those in the room of the shape: planes of braces and inner faces of walls
/// keep theirs, bent ones too; lines between are even. Holes of braces (as rectangles of the same area, inside_mesh.h)
/// keep their size, with straight sides where all walls are flat; what lies between two braces or a brace and a wall
/// goes over from one to the other.
struct RoomMap {
  std::shared_ptr<const BoxedShape> boxed;
  std::vector<RoomHole> holes;  ///< by BoxedShape::braces
  bool any_bent = false;

  Eigen::Vector3d operator()(const Eigen::Vector3d &in_box) const;
};

/// Errors: MeshError where a brace has more than one hole.
RoomMap make_room_map(const std::shared_ptr<const BoxedShape> &boxed);

}  // namespace stillbox
