// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// A plain name for mode number `mode`: the board that holds most strain energy, its half-waves along its first and
/// second axis (for a wall: across and up, seen from outside), and what the opposite wall does. "breathing": both
/// move outwards together; "swaying": one outwards while the other moves inwards. Free boards are named by the number
/// of nodal lines that cross them along and across.
std::string mode_label(const std::vector<FaceSamples> &faces, const std::vector<double> &energy_share, int mode);

/// |integral of u.n| / integral of |u.n| over the sampled walls; `net` is the integral itself. 0 without walls.
double net_share(const std::vector<FaceSamples> &faces, double net, int mode);

}  // namespace stillbox
