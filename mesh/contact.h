// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <map>
#include <utility>
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

/// True when the four corners of a face lie on a side of the board that is not glued. The edges of a sheet never are:
/// laid into a corner or up to a brace they touch the next board but do not hold on to it.
bool on_loose_side(const Board &board, const std::array<Eigen::Vector3d, 4> &corners);

/// What two boards have in common.
struct Contact {
  bool touches = false;    ///< they share some area
  bool is_loose = false;   ///< some of it is on a side that is not glued
  bool is_mitred = false;  ///< they share wood along a diagonal
  bool is_lapped = false;  ///< half-lapped
};
/// Third boards left aside.
Contact contact_between(const Structure &structure, int first, int second);

/// The wood that is left of each board, and what the boards have in common, once all have shared the space: of two that
/// overlap one gives way, and a third may lie between two that would touch.
struct Contacts {
  std::vector<double> wood;  ///< m3 by board, cut-outs left aside; of boxes along x, y, z only, else 0
  std::map<std::pair<int, int>, Contact> of_pair;  ///< lower index first; of others there is nothing to say
  Contact between(int first, int second) const;
};
/// Errors: MeshError, as make_grid.
Contacts contacts_of(const Structure &structure);

}  // namespace stillbox
