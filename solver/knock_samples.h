// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <vector>

#include "solver/knock_model.h"
#include "solver/modes.h"

namespace stillbox {

/// Columns of weights on the unknowns.
using SampleColumns = Eigen::SparseMatrix<double>;

/// For each point the weights b (unknowns x points) of the mean outward displacement of a fingertip's patch, so that
/// b' x is that displacement and, as the adjoint, F b is the load of a force F spread likewise. With one b for force
/// and response, transfer functions are reciprocal and a drive point's static flexibility is finite and has its
/// meaning: a point force on a solid would sink in the deeper the finer the mesh. The weight is
///   w(r) = 3 / (pi a^2) (1 - (r / a)^2)^2,  r <= a = knock_patch_radius,  integral 1
/// over the flat outer face (the high face of a free board), by 3 Gauss points along r^2 and 8 along the angle: exact
/// for the shape functions of degree 3 where the patch lies in one brick. Of a wall with a sheet on its outside it is
/// the wall's own face. Errors: SolveError when a patch is not on wood of its board.
SampleColumns point_columns(const Model &model, const std::vector<KnockPoint> &points);

/// Volume displacement of the outer walls (m3, outwards) as weights (unknowns x walls), their areas and names.
/// Cabinet: wall by wall in the order of knock_boards, all wood in the outer plane of the wall, so also the edges of
/// boards that show beside it; the sum is net_volumes. Of solids likewise, bent walls and chamfers (those with the
/// board they are cut into) too. Free boards: the high face alone; what the low face moves is not taken off. Cut-outs
/// do not count: what closes them is not part of the walls.
struct WallSamples {
  std::vector<std::string> names;
  std::vector<double> area;  ///< m2
  SampleColumns columns;
};
WallSamples wall_columns(const Model &model);

}  // namespace stillbox
