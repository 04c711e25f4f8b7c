// SPDX-License-Identifier: MIT
#include "mesh/ticks.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

// Along each straight side of a region's boundary the number of elements must be even. The longest interval of an odd
// side gets one more; sides share intervals, so this repeats, and if it does not settle every interval is made even.
void make_sides_even(const Grid &grid, const std::vector<Region> &regions, Ticks &ticks) {
  for (int pass = 0; pass < 12; ++pass) {
    bool changed = false;
    for (const Region &region : regions)
      for (const auto &loop : region.loops)
        for (const auto &side : straight_sides(loop)) {
          const int axis = (region.c + 1 + side.direction) % 3;
          int sum = 0, longest = side.first;
          for (int i = side.first; i < side.end; ++i) {
            sum += ticks.count[axis][i];
            if (grid.extent(axis, i) / ticks.count[axis][i] > grid.extent(axis, longest) / ticks.count[axis][longest])
              longest = i;
          }
          if (sum % 2 == 0) continue;
          changed = true;
          if (pass < 8)
            ++ticks.count[axis][longest];
          else
            for (int i = side.first; i < side.end; ++i) ticks.count[axis][i] += ticks.count[axis][i] % 2;
        }
    if (!changed) return;
  }
}

// Beside a cut-out elements must be no longer than half the stretch over which the web between cut-out and joint
// doubles, sqrt(2 r web) for a rounded cut-out of half-width r, four webs for a straight one; 20 mm at the least.
double size_beside(const CutOut &cut_out, double half, double web) {
  const double wanted = cut_out.shape == CutOutShape::rectangle ? 4 * web : std::sqrt(2 * half * web);
  return std::max(wanted, 0.02);
}

void refine_beside_cut_outs(const Structure &s, const Grid &grid, const std::vector<Region> &regions, Ticks &ticks) {
  for (const Region &region : regions)
    for (int h : region.cut_outs) {
      const CutOut &cut_out = s.boards[region.board].cut_outs[h];
      const PlanarCutOut p = in_plane(s.boards[region.board], cut_out, region.c);
      const double half[2] = {p.width / 2, p.height / 2};
      for (const auto &loop : region.loops)
        for (std::size_t e = 0; e < loop.size(); ++e) {
          const auto &from = loop[e], &to = loop[(e + 1) % loop.size()];
          const int along = from[0] != to[0] ? 0 : 1, across = 1 - along;
          const int axis = (region.c + 1 + along) % 3, other = (region.c + 1 + across) % 3;
          const int interval = std::min(from[along], to[along]);
          if (grid.lines[axis][interval] > p.centre[along] + half[along] ||
              grid.lines[axis][interval + 1] < p.centre[along] - half[along])
            continue;
          const double web = std::abs(grid.lines[other][from[across]] - p.centre[across]) - half[across];
          if (web <= 0) continue;
          const double size = size_beside(cut_out, half[across], web);
          int &count = ticks.count[axis][interval];
          count = std::max(count, int(std::ceil(grid.extent(axis, interval) / size - 1e-9)));
        }
    }
}

// A line that is only the edge of a patch of damping sheet and does not run past this cut-out: lines go through the
// whole grid, but this one ends no web here. `low`, `high`: the cut-out along the other axis.
bool is_idle_patch_edge(const Structure &s, int carrier, int axis, double line, int along, double low, double high) {
  bool is_edge = false;
  for (const Board &board : s.boards) {
    if (!is_axis_aligned_box(board)) continue;
    const auto [from, to] = world_bounds(board);
    if (std::min(std::abs(from[axis] - line), std::abs(to[axis] - line)) > 1e-6) continue;
    if (board.role != BoardRole::sheet || axis_of(board.normal()) == axis) return false;
    if (board.attached_to == carrier && from[along] < high && to[along] > low) return false;
    is_edge = true;
  }
  return is_edge;
}

// The same for cut-outs that get a tile: the web is that to the next line of the grid on either side.
void refine_beside_tiles(const Structure &s, const Grid &grid, const std::set<int> &tiled, Ticks &ticks) {
  for (int which : tiled) {
    const Board &board = s.boards[which];
    const int c = axis_of(board.normal());
    for (const CutOut &cut_out : board.cut_outs) {
      if (cut_by_grid(s, which, cut_out)) continue;
      const PlanarCutOut p = in_plane(board, cut_out, c);
      const double half[2] = {p.width / 2, p.height / 2};
      for (int along : {0, 1}) {
        const int axis = (c + 1 + along) % 3, across = 1 - along;
        double web = 1e300;
        for (double line : grid.lines[(c + 1 + across) % 3]) {
          const double distance = std::abs(line - p.centre[across]) - half[across];
          if (distance <= 1.5e-3 || is_idle_patch_edge(s, which, (c + 1 + across) % 3, line, axis,
                                                       p.centre[along] - half[along], p.centre[along] + half[along]))
            continue;
          web = std::min(web, distance);
        }
        const double size = size_beside(cut_out, half[across], web);
        for (std::size_t i = 0; i + 1 < grid.lines[axis].size(); ++i)
          if (grid.lines[axis][i] < p.centre[along] + half[along] &&
              grid.lines[axis][i + 1] > p.centre[along] - half[along])
            ticks.count[axis][i] =
                std::max(ticks.count[axis][i], int(std::ceil(grid.extent(axis, int(i)) / size - 1e-9)));
      }
    }
  }
}

}  // namespace

void place_ticks(const Grid &grid, Ticks &ticks) {
  for (int axis = 0; axis < 3; ++axis) {
    ticks.offset[axis].clear();
    ticks.position[axis].clear();
    for (int i = 0; i < grid.blocks()[axis]; ++i) {
      ticks.offset[axis].push_back(int(ticks.position[axis].size()));
      for (int t = 0; t < ticks.count[axis][i]; ++t)
        ticks.position[axis].push_back(grid.lines[axis][i] + grid.extent(axis, i) * t / ticks.count[axis][i]);
    }
    ticks.offset[axis].push_back(int(ticks.position[axis].size()));
    ticks.position[axis].push_back(grid.lines[axis].back());
  }
}

Ticks make_ticks(const Structure &s, const Grid &grid, const std::vector<Region> &regions, const std::set<int> &tiled,
                 const MeshOptions &options) {
  Ticks ticks;
  std::vector<double> size;
  for (const Board &board : s.boards) size.push_back(element_size(s, board, options));
  const auto n = grid.blocks();
  for (int axis = 0; axis < 3; ++axis) ticks.count[axis].assign(n[axis], 1);
  for (int k = 0; k < n[2]; ++k)
    for (int j = 0; j < n[1]; ++j)
      for (int i = 0; i < n[0]; ++i) {
        const std::array<int, 3> block{i, j, k};
        const Owner o = grid.owner(block);
        if (o.board < 0) continue;
        const double h = o.mate < 0 ? size[o.board] : std::min(size[o.board], size[o.mate]);
        for (int axis = 0; axis < 3; ++axis)
          ticks.count[axis][block[axis]] =
              std::max(ticks.count[axis][block[axis]], int(std::ceil(grid.extent(axis, block[axis]) / h - 1e-9)));
      }
  refine_beside_cut_outs(s, grid, regions, ticks);
  refine_beside_tiles(s, grid, tiled, ticks);
  make_sides_even(grid, regions, ticks);
  place_ticks(grid, ticks);
  return ticks;
}

}  // namespace stillbox
