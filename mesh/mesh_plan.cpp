// SPDX-License-Identifier: MIT
#include "mesh/mesh_plan.h"

#include <algorithm>
#include <set>

namespace stillbox {
namespace {

// From this fineness on, boards of a joined structure get more elements through the thickness: fibre boards are soft
// there, and joints with one element come out too stiff by 1-3 % in frequency.
constexpr double two_layers_from = 0.75;

void place_all(std::vector<PlanView> &views) {
  for (std::size_t v = 0; v < views.size(); ++v) {
    if (v > 0) views[v].ticks.count = views[0].ticks.count;
    place_ticks(views[v].grid, views[v].ticks);
  }
}

void make_all_ticks(std::vector<PlanView> &views, const std::vector<Region> &regions, const std::set<int> &tiled,
                    const MeshOptions &options) {
  for (PlanView &view : views) view.ticks = make_ticks(*view.structure, view.grid, regions, tiled, options);
  for (const PlanView &view : views)
    for (int axis = 0; axis < 3; ++axis)
      for (std::size_t i = 0; i < view.ticks.count[axis].size(); ++i)
        views[0].ticks.count[axis][i] = std::max(views[0].ticks.count[axis][i], view.ticks.count[axis][i]);
  place_all(views);
}

}  // namespace

bool has_two_layers(const MeshOptions &options) { return options.fineness >= two_layers_from; }

MeshPlan make_plan(std::vector<PlanView> &views, const MeshOptions &options) {
  const Structure &s = *views[0].structure;
  const Grid &grid = views[0].grid;
  Ticks &ticks = views[0].ticks;
  std::set<int> tiled, left;
  if (grid.owners.empty()) return {};
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    for (const CutOut &c : s.boards[b].cut_outs)
      if (is_axis_aligned_box(s.boards[b]) && !cut_by_grid(s, int(b), c)) tiled.insert(int(b));
  for (;;) {
    MeshPlan plan;
    plan.regions = find_regions(s, grid, left);
    make_all_ticks(views, plan.regions, tiled, options);
    std::set<int> failed;
    int refinements = 0;
    for (auto board = tiled.begin(); board != tiled.end();) {
      const TileSearch search = find_tiles(views, *board);
      // One more element may serve all tiles; where regions need even numbers, they would have to be redone.
      if (search.refine && plan.regions.empty() && ++refinements < 20) {
        ++ticks.count[(*search.refine)[0]][(*search.refine)[1]];
        place_all(views);
        board = tiled.begin();
        plan.tiles.clear();
        continue;
      }
      if (search.tiles)
        plan.tiles.insert(plan.tiles.end(), search.tiles->begin(), search.tiles->end());
      else
        failed.insert(*board);
      ++board;
    }
    if (failed.empty()) {
      for (const Tile &tile : plan.tiles)
        plan.rings.push_back(tile_rings(views, tile, element_size(s, s.boards[tile.board], options)));
      return plan;
    }
    for (int board : failed) {
      tiled.erase(board);
      left.insert(board);
    }
  }
}

}  // namespace stillbox
