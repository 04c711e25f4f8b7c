// SPDX-License-Identifier: MIT
#include "mesh/tiles.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "mesh/mesh_plan.h"

namespace stillbox {
namespace {

constexpr double best_margin = 0.4;  // of the cut-out's lesser half extent, between its rim and the tile
constexpr double widest_arc = 0.8;   // rad, one element's share of a circle
constexpr double ring_width = 0.35;  // of the element size: stress gathers at the rim of a rigid basket
constexpr double least_room = 1e-6;  // m

struct Box {
  Eigen::Vector2d low, high;
};

Box box_of(const PlanarCutOut &p) {
  const Eigen::Vector2d half(p.width / 2, p.height / 2);
  return {p.centre - half, p.centre + half};
}

double least_margin(const PlanarCutOut &p) { return std::max(1.5e-3, 0.025 * std::min(p.width, p.height)); }

// A place on the tile's boundary: its tick, its side (0 low b, 1 high a, 2 high b, 3 low a) and where along the side
// it lies, 0 .. 1 in the direction of travel.
struct RimStep {
  std::array<int, 2> tick{};
  int side = 0;
  double along = 0;
};

struct Search {
  const Structure &s;
  const Grid &grid;
  const Ticks &ticks;
  const std::vector<PlanView> &views;
  FreeColumns f;
  std::vector<Tile> tiles;
  std::vector<PlanarCutOut> cut_outs;  // of the tiles

  int axis(int direction) const { return direction == 0 ? f.a : f.b; }
  double at(int direction, int tick) const { return ticks.position[axis(direction)][tick]; }
  Box box(const Tile &t) const {
    return {{at(0, t.first[0]), at(1, t.first[1])}, {at(0, t.last[0]), at(1, t.last[1])}};
  }

  // All columns under the tile hold the same stack and no other tile or cut-out is met.
  bool is_free(std::size_t which, const Tile &tile) const {
    const Box b = box(tile);
    const auto columns = columns_under(grid, f.c, b.low.array() + least_room, b.high.array() - least_room);
    for (const Column &column : columns)
      if (!f.same(columns[0], column)) return false;
    for (std::size_t other = 0; other < cut_outs.size(); ++other) {
      if (other == which) continue;
      Box o = box_of(cut_outs[other]);
      if (other < tiles.size() && tiles[other].last[0] > 0) {
        o.low = o.low.cwiseMin(box(tiles[other]).low);
        o.high = o.high.cwiseMax(box(tiles[other]).high);
      }
      if ((o.low.array() < b.high.array() - least_room).all() && (o.high.array() > b.low.array() + least_room).all())
        return false;
    }
    return true;
  }

  // The nearest ticks around the cut-out that are so in all views.
  bool start(std::size_t which, Tile &tile) const {
    bool is_first = true;
    for (const PlanView &view : views) {
      const Board &board = view.structure->boards[tile.board];
      const PlanarCutOut p = in_plane(board, board.cut_outs[tile.cut_out], f.c);
      const Box hole = box_of(p);
      const double margin = least_margin(p);
      for (int d : {0, 1}) {
        const auto &x = view.ticks.position[axis(d)];
        const int first = int(std::upper_bound(x.begin(), x.end(), hole.low[d] - margin) - x.begin()) - 1;
        const int last = int(std::lower_bound(x.begin(), x.end(), hole.high[d] + margin) - x.begin());
        tile.first[d] = is_first ? first : std::min(tile.first[d], first);
        tile.last[d] = is_first ? last : std::max(tile.last[d], last);
        if (first < 0 || last >= int(x.size())) return false;
      }
      is_first = false;
    }
    return is_free(which, tile);
  }

  // Moves each side outwards to where its distance from the rim suits the size of the cut-out best.
  void grow(std::size_t which) {
    const PlanarCutOut &p = cut_outs[which];
    const Box hole = box_of(p);
    const double half = std::min(p.width, p.height) / 2;
    for (int d : {0, 1})
      for (bool low : {true, false}) {
        Tile best = tiles[which], trial = best;
        const auto misfit = [&](const Tile &t) {
          const double distance = low ? hole.low[d] - at(d, t.first[d]) : at(d, t.last[d]) - hole.high[d];
          return std::abs(std::log(distance / (best_margin * half)));
        };
        for (;;) {
          low ? --trial.first[d] : ++trial.last[d];
          if (trial.first[d] < 0 || trial.last[d] >= int(ticks.position[axis(d)].size())) break;
          if (!is_free(which, trial)) break;
          if (misfit(trial) < misfit(best)) best = trial;
        }
        tiles[which] = best;
      }
  }
};

int interval_at(const std::vector<int> &offset, int tick) {
  return int(std::upper_bound(offset.begin(), offset.end(), tick) - offset.begin()) - 1;
}

std::vector<RimStep> walk(const Tile &tile, const Ticks &ticks) {
  std::vector<RimStep> steps;
  const int axes[2] = {(tile.c + 1) % 3, (tile.c + 2) % 3};
  for (int side = 0; side < 4; ++side) {
    const int d = side % 2;
    const bool up = side < 2;
    const auto &x = ticks.position[axes[d]];
    const double low = x[tile.first[d]], length = x[tile.last[d]] - low;
    for (int i = 0; i < tile.last[d] - tile.first[d]; ++i) {
      RimStep step;
      step.side = side;
      step.tick[d] = up ? tile.first[d] + i : tile.last[d] - i;
      step.tick[1 - d] = side == 0 || side == 3 ? tile.first[1 - d] : tile.last[1 - d];
      step.along = (x[step.tick[d]] - low) / length;
      if (!up) step.along = 1 - step.along;
      steps.push_back(step);
    }
  }
  return steps;
}

// The arc of the rim that a step of the walk faces, or nothing where the rim is straight.
std::optional<Arc> arc_at(const CutOut &cut_out, const PlanarCutOut &p, const RimStep &step) {
  const bool along_a = p.width >= p.height;
  Arc arc{p.centre, std::min(p.width, p.height) / 2};
  if (cut_out.is_circle()) return arc;
  if (cut_out.shape != CutOutShape::slot || (step.side % 2 == 1) != along_a) return std::nullopt;
  const double straight = std::max(p.width, p.height) / 2 - arc.radius;
  arc.centre[along_a ? 0 : 1] += step.side == 1 || step.side == 2 ? straight : -straight;
  return arc;
}

// Where the rim meets the line from a step of the walk at x: a circle along its radius, rectangle and slot corner to
// corner and side to side. A slot's ends count as the short sides.
Eigen::Vector2d rim_point(const PlanarCutOut &p, const CutOut &cut_out, const RimStep &step,
                          const Eigen::Vector2d &at) {
  if (cut_out.is_circle()) return p.centre + p.width / 2 * (at - p.centre).normalized();
  const double x = 2 * step.along - 1;
  if (const auto arc = arc_at(cut_out, p, step)) {
    const double angle = (step.side - 1) * M_PI / 2 + x * M_PI / 2;
    return arc->centre + arc->radius * Eigen::Vector2d(std::cos(angle), std::sin(angle));
  }
  Eigen::Vector2d half(p.width / 2, p.height / 2);
  if (cut_out.shape == CutOutShape::slot) half[p.width >= p.height ? 0 : 1] -= half.minCoeff();
  switch (step.side) {
    case 0:
      return p.centre + Eigen::Vector2d(x * half.x(), -half.y());
    case 1:
      return p.centre + Eigen::Vector2d(half.x(), x * half.y());
    case 2:
      return p.centre + Eigen::Vector2d(-x * half.x(), half.y());
    default:
      return p.centre + Eigen::Vector2d(-half.x(), -x * half.y());
  }
}

// Whether the straight sides of the rings between tile and rim stay clear of the arcs of the rim: each must leave a
// fair part of the web below it.
bool rings_clear_arcs(const CutOut &cut_out, const PlanarCutOut &p, const std::vector<RimStep> &steps,
                      const std::vector<Eigen::Vector2d> &outer, const std::vector<Eigen::Vector2d> &inner, int rings) {
  const std::size_t n = steps.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::optional<Arc> arc = arc_at(cut_out, p, steps[i]);
    if (!arc) continue;
    const std::size_t next = (i + 1) % n;
    const double web = segment_distance(arc->centre, outer[i], outer[next]) - arc->radius;
    for (int ring = 1; ring < rings; ++ring) {
      const double part = double(ring) / rings;
      const Eigen::Vector2d a = outer[i] + part * (inner[i] - outer[i]),
                            b = outer[next] + part * (inner[next] - outer[next]);
      if (segment_distance(arc->centre, a, b) < arc->radius + 0.4 * (1 - part) * web) return false;
    }
  }
  return true;
}

// Direction (0, 1) and tick of a step of the walk that would face too much of an arc, if any.
std::optional<std::array<int, 2>> too_wide_arc(const PlanView &view, const Tile &tile) {
  const Board &board = view.structure->boards[tile.board];
  const CutOut &c = board.cut_outs[tile.cut_out];
  const PlanarCutOut p = in_plane(board, c, tile.c);
  const std::vector<RimStep> steps = walk(tile, view.ticks);
  const auto on_rim = [&](const RimStep &step) {
    return rim_point(
        p, c, step,
        {view.ticks.position[(tile.c + 1) % 3][step.tick[0]], view.ticks.position[(tile.c + 2) % 3][step.tick[1]]});
  };
  for (std::size_t k = 0; k < steps.size(); ++k) {
    const std::optional<Arc> arc = arc_at(c, p, steps[k]);
    if (!arc) continue;
    const Eigen::Vector2d from = on_rim(steps[k]) - arc->centre,
                          to = on_rim(steps[(k + 1) % steps.size()]) - arc->centre;
    if (std::acos(std::clamp(from.dot(to) / (from.norm() * to.norm()), -1.0, 1.0)) < widest_arc) continue;
    const int d = steps[k].side % 2;
    return std::array<int, 2>{d, steps[k].side < 2 ? steps[k].tick[d] : steps[k].tick[d] - 1};
  }
  return std::nullopt;
}

}  // namespace

TileSearch find_tiles(const std::vector<PlanView> &views, int board) {
  TileSearch result;
  const Structure &s = *views[0].structure;
  const Grid &grid = views[0].grid;
  const Ticks &ticks = views[0].ticks;
  Search search{s, grid, ticks, views, free_columns(s, grid, board), {}, {}};
  const Board &b = s.boards[board];
  for (std::size_t h = 0; h < b.cut_outs.size(); ++h) {
    if (cut_by_grid(s, board, b.cut_outs[h])) continue;
    Tile tile;
    tile.board = board;
    tile.cut_out = int(h);
    tile.c = search.f.c;
    search.tiles.push_back(tile);
    search.cut_outs.push_back(in_plane(b, b.cut_outs[h], search.f.c));
  }
  for (std::size_t i = 0; i < search.tiles.size(); ++i) {
    Tile tile = search.tiles[i];
    if (!search.start(i, tile)) return result;
    search.tiles[i] = tile;
  }
  for (std::size_t i = 0; i < search.tiles.size(); ++i) search.grow(i);
  for (std::size_t i = 0; i < search.tiles.size(); ++i) {
    Tile &tile = search.tiles[i];
    for (const PlanView &view : views)
      if (const auto wide = too_wide_arc(view, tile)) {
        const int axis = search.axis((*wide)[0]);
        result.refine = std::array<int, 2>{axis, interval_at(ticks.offset[axis], (*wide)[1])};
        return result;
      }
    tile.column = {interval_at(ticks.offset[search.f.a], tile.first[0]),
                   interval_at(ticks.offset[search.f.b], tile.first[1])};
    const Stack &stack = search.f.stacks.at(tile.column);
    tile.first_block = stack.first;
    tile.end_block = stack.end;
  }
  result.tiles = search.tiles;
  return result;
}

int tile_rings(const std::vector<PlanView> &views, const Tile &tile, double size) {
  int rings = 1;
  std::vector<std::function<bool(int)>> clear;
  for (const PlanView &view : views) {
    const CutOut &cut_out = view.structure->boards[tile.board].cut_outs[tile.cut_out];
    const PlanarCutOut p = in_plane(view.structure->boards[tile.board], cut_out, tile.c);
    const std::vector<RimStep> steps = walk(tile, view.ticks);
    std::vector<Eigen::Vector2d> outer, inner;
    for (const RimStep &step : steps) {
      outer.emplace_back(view.ticks.position[(tile.c + 1) % 3][step.tick[0]],
                         view.ticks.position[(tile.c + 2) % 3][step.tick[1]]);
      inner.push_back(rim_point(p, cut_out, step, outer.back()));
      const double longest = (outer.back() - inner.back()).norm();
      rings = std::max(rings, std::clamp(int(std::ceil(longest / (ring_width * size))), 1, 8));
    }
    clear.push_back([=](int n) { return rings_clear_arcs(cut_out, p, steps, outer, inner, n); });
  }
  const auto all_clear = [&] {
    return std::all_of(clear.begin(), clear.end(), [&](const auto &c) { return c(rings); });
  };
  while (rings > 1 && !all_clear()) --rings;
  return rings;
}

FlatRegion mesh_tile(const Structure &s, const Ticks &ticks, const Tile &tile, int rings,
                     std::vector<std::array<int, 2>> &point_ticks) {
  FlatRegion flat;
  const Board &board = s.boards[tile.board];
  const CutOut &cut_out = board.cut_outs[tile.cut_out];
  const PlanarCutOut p = in_plane(board, cut_out, tile.c);
  std::vector<Eigen::Vector2d> outer, inner;
  std::vector<RimStep> steps = walk(tile, ticks);
  for (const RimStep &step : steps) {
    point_ticks.push_back(step.tick);
    const Eigen::Vector2d x(ticks.position[(tile.c + 1) % 3][step.tick[0]],
                            ticks.position[(tile.c + 2) % 3][step.tick[1]]);
    outer.push_back(x);
    inner.push_back(rim_point(p, cut_out, step, x));
  }
  const int n = int(outer.size());
  auto &nodes = flat.quads.nodes;
  auto &quads = flat.quads.quads;
  for (int ring = 0; ring <= rings; ++ring)
    for (int i = 0; i < n; ++i) nodes.push_back(outer[i] + (inner[i] - outer[i]) * (double(ring) / rings));
  for (int ring = 0; ring < rings; ++ring)
    for (int i = 0; i < n; ++i) {
      const int out = ring * n + i, next = ring * n + (i + 1) % n;
      quads.push_back({out + n, out, next, next + n});
      if (ring + 1 < rings) continue;
      FlatRegion::RimEdge edge;
      edge.quad = int(quads.size()) - 1;
      edge.from = next + n;
      edge.to = out + n;
      edge.cut_out = tile.cut_out;
      const std::optional<Arc> arc = arc_at(cut_out, p, steps[i]);
      edge.curved = arc.has_value();
      if (arc) edge.arc = *arc;
      flat.rim.push_back(edge);
    }
  return flat;
}

}  // namespace stillbox
