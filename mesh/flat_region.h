// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/outline_loops.h"
#include "mesh/planar_quads.h"

namespace stillbox {

/// A flat region with cut-outs, meshed: the quads, and which boundary edges lie on which cut-out.
struct FlatRegion {
  PlanarQuads quads;
  /// An edge of the quads on the rim of a cut-out (or on the outer rim: cut_out = -1).
  struct RimEdge {
    int quad = 0, from = 0, to = 0;  ///< node numbers
    int cut_out = -1;
    bool curved = false;
    Arc arc;
  };
  std::vector<RimEdge> rim;
};

/// A cut-out as the flat region needs it.
struct FlatCutOut {
  int id = 0;
  CutOutShape shape = CutOutShape::round;
  Eigen::Vector2d centre{0, 0};
  double width = 0, height = 0;  ///< along the first and second axis of the plane
};

/// Meshes the region within `outer` (its first loop counter-clockwise, then those around things glued on it).
/// Starts from `size` and refines around narrow webs until the quads are well shaped.
/// Errors: std::runtime_error when no acceptable mesh is found.
FlatRegion mesh_flat_region(const std::vector<OutlineLoop> &outer, const std::vector<FlatCutOut> &cut_outs,
                            double size);

}  // namespace stillbox
