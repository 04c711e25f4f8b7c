// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

/// A closed surface of quadrilaterals, corners anticlockwise from outside.
struct QuadSurface {
  std::vector<Eigen::Vector3d> nodes;  ///< m
  std::vector<std::array<int, 4>> quads;
};

/// The outer faces of a [shape], cut-outs closed, in quadrilaterals with sides of about `size` (m): Gmsh's triangles
/// paired and halved, so that nothing but quadrilaterals is left. Errors: MeshError.
QuadSurface outer_quads(const Structure &structure, double size);

}  // namespace stillbox
