// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/structure.h"

namespace stillbox {

// Asking a [shape] of four walls (Solids::box_form) about places in its room.

/// True when a place lies inside the inner faces of all walls but one, at least `beside` (m) off each.
bool is_in_shape_room(const Structure &structure, const Eigen::Vector3d &x, double beside = 0, int but_wall = -1);

/// The brace whose wood holds a place, or -1: within its faces, outside its cut-outs and its window. Wood that is
/// nearer than `edge` (m) to a face or a hole does not count.
int shape_brace_at(const Structure &structure, const Eigen::Vector3d &x, double edge);

}  // namespace stillbox
