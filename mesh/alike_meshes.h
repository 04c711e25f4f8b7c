// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

// Structures that differ in where their boards end but not in what touches what, such as a cabinet with a brace at
// several places, can have meshes of the same cells, of which only the nodes move: bricks are stretched, rings around
// cut-outs are drawn anew between the same ticks. Vectors of unknowns then mean the same in all of them.

/// Along one axis: the coordinates (m) of all faces of boards, layers and openings in a first structure, increasing,
/// and where they are in a second one.
struct AxisMap {
  std::vector<double> from, to;
  double operator()(double x) const;  ///< linear between the faces, shifted outside
};

/// How the faces of `b` correspond to those of `a`; nothing when the two have other boards or cut-outs, or faces that
/// coincide or lie in this order in one but not in the other.
std::optional<std::array<AxisMap, 3>> axis_maps(const Structure &a, const Structure &b);

/// One mesh per structure; the first one's plan serves all. Cells, boards, rims and bonded faces are the same. Each
/// interval has as many elements as the structure that needs most.
/// Errors: MeshError when they cannot be alike, or the boards need an unstructured region.
std::vector<HexMesh> make_alike_meshes(const std::vector<const Structure *> &structures, const MeshOptions &options);

}  // namespace stillbox
