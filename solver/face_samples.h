// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/modes.h"

namespace stillbox {

/// Normal displacement of every mode on an even grid of points over each board: the face where the normal coordinate
/// is greatest for walls and free boards, the middle plane for braces and sheets. About 8 mm between points, at least
/// 13 and at most 81 a side; the same for a board of the same size in every variant.
std::vector<FaceSamples> sample_faces(const Model &model,
                                      const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes);

/// Surface integral of the outward displacement over the outer faces of the walls (m3 per sqrt(kg)), for each mode;
/// zeros without a cabinet. Cut-outs do not count: what closes them is not part of the walls.
Eigen::VectorXd net_volumes(const Model &model, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes);

}  // namespace stillbox
