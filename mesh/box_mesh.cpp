// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/box_bevels.h"
#include "mesh/mesh_plan.h"

namespace stillbox {
namespace {

constexpr double widest_arc = 12 * M_PI / 180;  // of an element of a bent wall: its law is that of the middle

// Lines across bent walls, so that no element spans too wide an arc.
void add_bend_lines(const BoxedShape &b, Grid &grid) {
  const BoxEdges &e = b.edges;
  bool any = false;
  for (int i = 0; i < 4; ++i) {
    const Board &board = b.shape_board(i);
    if (!board.bend) continue;
    const auto [from, to] = outline_bounds(board);
    const int axis = i % 2, pieces = int(std::ceil((to.x() - from.x()) / board.bend->radius / widest_arc));
    auto &lines = grid.lines[std::size_t(axis)];
    for (int k = 1; k < pieces; ++k) {
      const double x = e.inner_low[axis] + (e.inner_high[axis] - e.inner_low[axis]) * k / pieces;
      const double gap = 0.3 * (e.inner_high[axis] - e.inner_low[axis]) / pieces;
      if (std::any_of(lines.begin(), lines.end(), [&](double y) { return std::abs(x - y) < gap; })) continue;
      lines.push_back(x);
      std::sort(lines.begin(), lines.end());
      any = true;
    }
  }
  if (any) settle_owners(b.box, grid);
}

}  // namespace

HexMesh make_box_mesh(const BoxedShape &b, const MeshOptions &options) {
  HexMesh mesh;
  with_each_try(options, [&](const MeshOptions &o) {
    std::vector<PlanView> views{{&b.box, make_grid(b.box, o.relief, has_two_layers(o)), {}}};
    add_bend_lines(b, views[0].grid);
    cut_notches(b, views[0].grid);
    const MeshPlan plan = make_plan(views, o);
    mesh = draw_mesh(views[0], plan, o);
  });
  return mesh;
}

}  // namespace stillbox
