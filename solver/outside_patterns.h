// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/outside_mesh.h"

namespace stillbox {

/// A rigid piston in a cut-out: a cone or the air in a port.
struct OutsidePiston {
  int wall = 0, cut_out = 0;  ///< a Wall; index in its board
  double area = 0;            ///< m2 it moves, at most the cut-out's
};

/// Normal velocities over the outside of a cabinet, at unit velocities of its motions: the shapes of the walls, then
/// the pistons. As patterns that belong to one wall each, so that the sound of each wall can be told apart:
///   velocity of the elements = basis (map v),  v = velocities of shapes and pistons.
/// The patterns of a wall are orthonormal over its area and span what its wood does in all shapes, up to 1e-4 of the
/// root of the mean square of a shape; the last ones are the pistons themselves.
struct OutsidePatterns {
  SurfaceMesh mesh;
  Eigen::MatrixXd shapes;       ///< elements x shapes: wood, and what sits in cut-outs and moves with the rim
  Eigen::MatrixXd pistons;      ///< elements x pistons
  Eigen::MatrixXd basis;        ///< elements x patterns
  std::vector<int> basis_wall;  ///< per pattern a Wall, or -1 for a piston
  Eigen::MatrixXd map;          ///< patterns x (shapes + pistons)
};

/// `wood`: elements x shapes, mean outward displacement of the wood over each element (outside_columns); `rims`:
/// cut-outs x shapes, of each rim of the cut-outs listed as (wall, index). What a piston leaves of its cut-out moves
/// with the rim, as does all of a cut-out without one.
OutsidePatterns make_outside_patterns(const SurfaceMesh &mesh, const Structure &structure, const Eigen::MatrixXd &wood,
                                      const std::vector<std::pair<int, int>> &cut_outs, const Eigen::MatrixXd &rims,
                                      const std::vector<OutsidePiston> &pistons);

}  // namespace stillbox
