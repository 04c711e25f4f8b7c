// SPDX-License-Identifier: MIT
#include "mesh/hex_mesh.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

#include "mesh/flat_region.h"
#include "mesh/glue.h"
#include "mesh/mesh_plan.h"
#include "mesh/mitre.h"

namespace stillbox {
namespace {

// Cells whose corners are still places in space; glue_cells turns places into nodes.
struct Draft {
  std::vector<Eigen::Vector3d> places;
  std::vector<HexCell> cells;
  std::vector<Cylinder> cylinders;
  std::vector<RimFace> rim_faces;
  std::map<std::array<int, 3>, int> place_of_tick;
};

int tick_place(Draft &draft, const Ticks &ticks, const std::array<int, 3> &t) {
  const auto [it, is_new] = draft.place_of_tick.try_emplace(t, int(draft.places.size()));
  if (is_new) draft.places.emplace_back(ticks.position[0][t[0]], ticks.position[1][t[1]], ticks.position[2][t[2]]);
  return it->second;
}

int cylinder_number(Draft &draft, const Cylinder &wanted) {
  for (std::size_t i = 0; i < draft.cylinders.size(); ++i) {
    const Cylinder &c = draft.cylinders[i];
    if ((c.axis_point - wanted.axis_point).norm() < 1e-9 && (c.axis - wanted.axis).norm() < 1e-9 &&
        std::abs(c.radius - wanted.radius) < 1e-9)
      return int(i);
  }
  draft.cylinders.push_back(wanted);
  return int(draft.cylinders.size()) - 1;
}

void give_to(const Owner &owner, HexCell &cell) {
  cell.board = owner.board;
  cell.layer = owner.layer;
  cell.mate = owner.mate;
  cell.mate_layer = owner.mate_layer;
}

// One column of cells over a quad: `places[level][corner]`, corners counter-clockwise seen against the direction of
// the levels.
HexCell column_cell(const std::array<int, 4> &lower, const std::array<int, 4> &upper, const Owner &owner) {
  HexCell cell;
  cell.nodes = {lower[0], lower[1], lower[3], lower[2], upper[0], upper[1], upper[3], upper[2]};
  give_to(owner, cell);
  return cell;
}

// A meshed flat region, raised through the levels; `place(node, level)` gives the place of a quad corner.
template <typename Place, typename OwnerOf, typename ToWorld>
void raise(Draft &draft, const FlatRegion &flat, int levels, int rim_board, const Eigen::Vector3d &axis, Place place,
           OwnerOf owner_of, ToWorld to_world) {
  for (int level = 0; level < levels; ++level) {
    const int first = int(draft.cells.size());
    for (const auto &quad : flat.quads.quads) {
      std::array<int, 4> lower{}, upper{};
      for (int i = 0; i < 4; ++i) {
        lower[i] = place(quad[i], level);
        upper[i] = place(quad[i], level + 1);
      }
      draft.cells.push_back(column_cell(lower, upper, owner_of(level)));
    }
    for (const FlatRegion::RimEdge &edge : flat.rim) {
      RimFace face;
      face.cell = first + edge.quad;
      face.nodes = {place(edge.from, level), place(edge.to, level), place(edge.from, level + 1),
                    place(edge.to, level + 1)};
      face.board = rim_board;
      face.cut_out = edge.cut_out;
      if (edge.curved) face.cylinder = cylinder_number(draft, {to_world(edge.arc.centre), axis, edge.arc.radius});
      draft.rim_faces.push_back(face);
    }
  }
}

void add_bricks(Draft &draft, const Structure &s, const Grid &grid, const Ticks &ticks,
                const std::set<std::array<int, 3>> &taken) {
  const auto n = grid.blocks();
  for (int k = 0; k < n[2]; ++k)
    for (int j = 0; j < n[1]; ++j)
      for (int i = 0; i < n[0]; ++i) {
        const std::array<int, 3> block{i, j, k};
        const Owner owner = grid.owner(block);
        if (owner.board < 0) continue;
        std::array<int, 3> t{};
        for (t[2] = ticks.offset[2][k]; t[2] < ticks.offset[2][k + 1]; ++t[2])
          for (t[1] = ticks.offset[1][j]; t[1] < ticks.offset[1][j + 1]; ++t[1])
            for (t[0] = ticks.offset[0][i]; t[0] < ticks.offset[0][i + 1]; ++t[0]) {
              if (taken.count(t)) continue;
              HexCell cell;
              for (int corner = 0; corner < 8; ++corner)
                cell.nodes[corner] =
                    tick_place(draft, ticks, {t[0] + (corner & 1), t[1] + (corner >> 1 & 1), t[2] + (corner >> 2 & 1)});
              give_to(owner, cell);
              if (owner.mate >= 0)
                cell.first_part = mitre_part(s.boards[owner.board], s.boards[owner.mate],
                                             draft.places[cell.nodes.front()], draft.places[cell.nodes.back()]);
              draft.cells.push_back(cell);
            }
      }
}

// The boundary of a region along grid lines as a loop of tick points, and the ticks of each point.
OutlineLoop tick_loop(const Region &region, const std::vector<std::array<int, 2>> &corners, const Ticks &ticks,
                      std::vector<std::array<int, 2>> &point_ticks) {
  const int axes[2] = {(region.c + 1) % 3, (region.c + 2) % 3};
  OutlineLoop loop;
  for (std::size_t e = 0; e < corners.size(); ++e) {
    std::array<int, 2> at{}, to{};
    for (int p = 0; p < 2; ++p) {
      at[p] = ticks.offset[axes[p]][corners[e][p]];
      to[p] = ticks.offset[axes[p]][corners[(e + 1) % corners.size()][p]];
    }
    while (at != to) {
      loop.points.emplace_back(ticks.position[axes[0]][at[0]], ticks.position[axes[1]][at[1]]);
      loop.edge_arc.push_back(-1);
      point_ticks.push_back(at);
      for (int p = 0; p < 2; ++p) at[p] += (to[p] > at[p]) - (to[p] < at[p]);
    }
  }
  return loop;
}

// A mesh of a part of a board, raised through the board and its sheets. Its first nodes are at the ticks
// `point_ticks`; `column` is one of the grid's columns there.
void add_flat(Draft &draft, const Grid &grid, const Ticks &ticks, const FlatRegion &flat,
              const std::vector<std::array<int, 2>> &point_ticks, int board, int c, const Column &column,
              int first_block, int end_block) {
  const int a = (c + 1) % 3, b = (c + 2) % 3;
  const int first_tick = ticks.offset[c][first_block];
  const int levels = ticks.offset[c][end_block] - first_tick;
  std::map<std::pair<int, int>, int> inner_places;
  const auto place = [&](int node, int level) {
    std::array<int, 3> t{};
    t[c] = first_tick + level;
    if (node < int(point_ticks.size())) {
      t[a] = point_ticks[node][0];
      t[b] = point_ticks[node][1];
      return tick_place(draft, ticks, t);
    }
    const auto [it, is_new] = inner_places.try_emplace({node, level}, int(draft.places.size()));
    if (is_new) {
      Eigen::Vector3d x;
      x[a] = flat.quads.nodes[node].x();
      x[b] = flat.quads.nodes[node].y();
      x[c] = ticks.position[c][t[c]];
      draft.places.push_back(x);
    }
    return it->second;
  };
  const auto owner_of = [&](int level) {
    int k = first_block;
    while (ticks.offset[c][k + 1] <= first_tick + level) ++k;
    std::array<int, 3> block{};
    block[a] = column[0];
    block[b] = column[1];
    block[c] = k;
    return grid.owner(block);
  };
  const auto to_world = [&](const Eigen::Vector2d &p) {
    Eigen::Vector3d x;
    x[a] = p.x();
    x[b] = p.y();
    x[c] = 0;
    return x;
  };
  raise(draft, flat, levels, board, Eigen::Vector3d::Unit(c), place, owner_of, to_world);
}

void add_region(Draft &draft, const Structure &s, const Grid &grid, const Ticks &ticks, const Region &region,
                const MeshOptions &options) {
  const Board &board = s.boards[region.board];
  std::vector<OutlineLoop> outer;
  std::vector<std::array<int, 2>> point_ticks;
  for (const auto &corners : region.loops) outer.push_back(tick_loop(region, corners, ticks, point_ticks));
  std::vector<FlatCutOut> cut_outs;
  for (int h : region.cut_outs) {
    const PlanarCutOut p = in_plane(board, board.cut_outs[h], region.c);
    cut_outs.push_back({h, board.cut_outs[h].shape, p.centre, p.width, p.height});
  }
  FlatRegion flat;
  try {
    flat = mesh_flat_region(outer, cut_outs, element_size(s, board, options));
  } catch (const std::runtime_error &error) {
    throw MeshError("board \"" + board.name + "\" cannot be meshed around its cut-outs: " + error.what() +
                    "; where less than some millimetres of wood are left between two of them, or beside a board that "
                    "passes through, move or resize one");
  }
  add_flat(draft, grid, ticks, flat, point_ticks, region.board, region.c, region.columns.front(), region.first_block,
           region.end_block);
}

// A disc, polygon or slanted board: nothing is glued to it, so it is one flat region in its own axes.
void add_board_alone(Draft &draft, const Structure &s, int which, const MeshOptions &options) {
  const Board &board = s.boards[which];
  const double size = element_size(s, board, options);
  std::vector<FlatCutOut> cut_outs;
  for (std::size_t h = 0; h < board.cut_outs.size(); ++h) {
    const CutOut &c = board.cut_outs[h];
    cut_outs.push_back({int(h), c.shape, c.centre, c.width, c.height});
  }
  FlatRegion flat;
  try {
    flat = mesh_flat_region({board_loop(board, size)}, cut_outs, size);
  } catch (const std::runtime_error &error) {
    throw MeshError("board \"" + board.name + "\" cannot be meshed: " + error.what());
  }
  std::vector<double> heights{0};
  std::vector<int> layer_of;
  for (std::size_t l = 0; l < board.layers.size(); ++l) {
    const double thickness = board.layers[l].thickness;
    const int n = std::max(1, int(std::ceil(thickness / size - 1e-9)));
    const double base = heights.back();
    for (int i = 1; i <= n; ++i) {
      heights.push_back(base + thickness * i / n);
      layer_of.push_back(int(l));
    }
  }
  std::map<std::pair<int, int>, int> places;
  const auto place = [&](int node, int level) {
    const auto [it, is_new] = places.try_emplace({node, level}, int(draft.places.size()));
    const Eigen::Vector2d &p = flat.quads.nodes[node];
    if (is_new) draft.places.push_back(board.at(p.x(), p.y(), heights[level]));
    return it->second;
  };
  const auto owner_of = [&](int level) { return Owner{which, -1, layer_of[level], 0}; };
  const auto to_world = [&](const Eigen::Vector2d &p) { return board.at(p.x(), p.y(), 0); };
  raise(draft, flat, int(layer_of.size()), which, board.normal(), place, owner_of, to_world);
}

// The cells between ticks that are not bricks.
std::set<std::array<int, 3>> cells_taken(const MeshPlan &plan, const Ticks &ticks) {
  std::set<std::array<int, 3>> taken;
  const auto take = [&](int c, const std::array<int, 2> &first, const std::array<int, 2> &last, int k, int end) {
    std::array<int, 3> t{};
    for (t[(c + 1) % 3] = first[0]; t[(c + 1) % 3] < last[0]; ++t[(c + 1) % 3])
      for (t[(c + 2) % 3] = first[1]; t[(c + 2) % 3] < last[1]; ++t[(c + 2) % 3])
        for (t[c] = ticks.offset[c][k]; t[c] < ticks.offset[c][end]; ++t[c]) taken.insert(t);
  };
  for (const Tile &tile : plan.tiles) take(tile.c, tile.first, tile.last, tile.first_block, tile.end_block);
  for (const Region &region : plan.regions) {
    const auto &a = ticks.offset[(region.c + 1) % 3], &b = ticks.offset[(region.c + 2) % 3];
    for (const auto &[i, j] : region.columns)
      take(region.c, {a[i], b[j]}, {a[i + 1], b[j + 1]}, region.first_block, region.end_block);
  }
  return taken;
}

}  // namespace

HexMesh draw_mesh(const PlanView &view, const MeshPlan &plan, const MeshOptions &options) {
  const Structure &s = *view.structure;
  Draft draft;
  const Grid &grid = view.grid;
  if (!grid.owners.empty()) {
    add_bricks(draft, s, grid, view.ticks, cells_taken(plan, view.ticks));
    for (std::size_t t = 0; t < plan.tiles.size(); ++t) {
      const Tile &tile = plan.tiles[t];
      std::vector<std::array<int, 2>> point_ticks;
      const FlatRegion flat = mesh_tile(s, view.ticks, tile, plan.rings[t], point_ticks);
      add_flat(draft, grid, view.ticks, flat, point_ticks, tile.board, tile.c, tile.column, tile.first_block,
               tile.end_block);
    }
    for (const Region &region : plan.regions) add_region(draft, s, grid, view.ticks, region, options);
  }
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    if (!is_axis_aligned_box(s.boards[b])) add_board_alone(draft, s, int(b), options);
  if (draft.cells.empty()) throw MeshError("there is no wood to mesh");

  HexMesh mesh;
  mesh.cells = draft.cells;
  mesh.cylinders = draft.cylinders;
  mesh.rim_faces = draft.rim_faces;
  glue_cells(s, draft.places, mesh);
  return mesh;
}

void with_each_try(const MeshOptions &options, const std::function<void(const MeshOptions &)> &mesh) {
  // Narrow webs can defeat the flat mesher at one element size and not at the next; finer ones come first.
  constexpr std::array<std::pair<double, bool>, 5> tries{
      {{1, true}, {1.3, true}, {1.7, true}, {1, false}, {1.4, false}}};
  for (std::size_t i = 0;; ++i) {
    MeshOptions o = options;
    o.fineness *= tries[i].first;
    if (!tries[i].second) o.relief = 0;
    try {
      return mesh(o);
    } catch (const MeshError &) {
      if (i + 1 == tries.size()) throw;
    }
  }
}

HexMesh make_hex_mesh(const Structure &s, const MeshOptions &options) {
  HexMesh mesh;
  with_each_try(options, [&](const MeshOptions &o) {
    std::vector<PlanView> views{{&s, make_grid(s, o.relief, has_two_layers(o)), {}}};
    const MeshPlan plan = make_plan(views, o);
    mesh = draw_mesh(views[0], plan, o);
  });
  return mesh;
}

}  // namespace stillbox
