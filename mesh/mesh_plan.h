// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <vector>

#include "mesh/hex_mesh.h"
#include "mesh/regions.h"
#include "mesh/tiles.h"

namespace stillbox {

// The plan of a mesh: how many elements lie between which lines of the grid, and what is around cut-outs. A plan may
// serve several structures whose grids have the same lines in the same order at other places (alike_meshes.h).

/// One structure with its grid and the places of the ticks on it.
struct PlanView {
  const Structure *structure = nullptr;
  Grid grid;
  Ticks ticks;
};

/// Tiles for the boards that can have them, regions for the others.
struct MeshPlan {
  std::vector<Region> regions;
  std::vector<Tile> tiles;
  std::vector<int> rings;  ///< by tile
};

/// True when boards of a joined structure get two elements through the thickness.
bool has_two_layers(const MeshOptions &options);

/// Plans a mesh that does for all views; the first is the reference and must have a grid, ticks are filled in. Each
/// interval gets as many elements as the view that needs most. Errors: MeshError.
MeshPlan make_plan(std::vector<PlanView> &views, const MeshOptions &options);

/// The mesh of one view. Meshes of different views of a plan without regions have the same cells and differ in the
/// places of the nodes only.
HexMesh draw_mesh(const PlanView &view, const MeshPlan &plan, const MeshOptions &options);

/// Calls `mesh` with these options and, as long as it throws MeshError, with finer ones and ones without relief lines.
void with_each_try(const MeshOptions &options, const std::function<void(const MeshOptions &)> &mesh);

}  // namespace stillbox
