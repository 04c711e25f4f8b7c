// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>

#include "mesh/structure.h"

namespace stillbox {

/// True when the four corners of a face lie on a side of the board that is not glued. The edges of a sheet never are:
/// laid into a corner or up to a brace they touch the next board but do not hold on to it.
bool on_loose_side(const Board &board, const std::array<Eigen::Vector3d, 4> &corners);

/// What two boards have in common, third boards left aside.
struct Contact {
  bool touches = false;    ///< they share some area
  bool is_loose = false;   ///< some of it is on a side that is not glued
  bool is_mitred = false;  ///< they share wood along a diagonal
  bool is_lapped = false;  ///< half-lapped
};
Contact contact_between(const Structure &structure, int first, int second);

}  // namespace stillbox
