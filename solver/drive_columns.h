// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/knock_samples.h"
#include "solver/outside_mesh.h"

namespace stillbox {

/// A cut-out of a cabinet's wall.
struct WallCutOut {
  std::string name;
  int wall = 0, board = 0,
      index = 0;    ///< place in sound_walls; index into Structure::boards; into that board's cut_outs
  double area = 0;  ///< m2
};

/// All of them, wall by wall. None without a cabinet.
std::vector<WallCutOut> wall_cut_outs(const Structure &structure);

/// Weights on the unknowns (unknowns x cut-outs) of the mean displacement of each rim along the wall's outward normal,
/// the mean over the rim's face. It is how a rigid plug in the cut-out moves on the whole, and as a load a force spread
/// evenly over the rim (or on the basket). Errors: SolveError when a rim was not meshed.
SampleColumns rim_columns(const Model &model, const std::vector<WallCutOut> &cut_outs);

/// Weights (unknowns x walls, in the order of sound_walls) of the volume (m3) that each wall's inner face gives free as
/// it moves outwards: over all wood of the wall in the plane of the inside, also where a brace or a sheet lies on it.
/// Of solids: over all faces that look into the room, with one column more for those of braces; the sum of all columns
/// is what the room gains.
SampleColumns inner_wall_columns(const Model &model);

/// Weights (unknowns x elements of the outside mesh) of the mean outward displacement of the wood over each element, by
/// 3 x 3 Gauss points; nothing where an element holds no wood. A wall with a sheet on its outside: the wall's own face.
SampleColumns outside_columns(const Model &model, const SurfaceMesh &mesh);

}  // namespace stillbox
