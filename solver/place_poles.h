// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/place_model.h"

namespace stillbox {

// Internal to place_model: what the reduced matrices are multiplied by before they are interpolated.

/// Stretches between neighbouring faces as linear functions of p, each once, into `out.stretch`; none when one of them
/// is not linear. Errors: MeshError when the boards touch each other in other places.
void find_stretches(const std::vector<Structure> &structures, const std::vector<double> &nodes, PlaceModel &out);

/// Two poles beyond either end of the row, or none there, such that the modes at the second node and at the last but
/// one come out best from the other nodes; returns how well (relative, of a frequency). `stretch`: the bricks' own.
double choose_poles(const Eigen::MatrixXd &stretch, PlaceModel &out);

}  // namespace stillbox
