// SPDX-License-Identifier: MIT
#pragma once
#include <functional>

#include "solver/outside_mesh.h"

namespace stillbox {

// cabinet_surface and cut_out_shares for a [shape].

/// Elements as cabinet_surface has them: per_wave a wavelength, none longer than a sixth of the longest side, as many
/// as `aimed_at` where that leaves room. Errors: CaseError when it takes more than most_outside_elements; MeshError.
SurfaceMesh shape_surface(const Structure &structure, const OutsideAir &air, double up_to, double per_wave,
                          int aimed_at);

/// The part of each element of a wall whose places in board coordinates are `inside`, from 24 x 24 points.
Eigen::VectorXd sampled_shares(const SurfaceMesh &mesh, int wall, const Board &board,
                               const std::function<bool(const Eigen::Vector2d &)> &inside);

}  // namespace stillbox
