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

// Beside a cut-out the boundary of its region needs elements no longer than the stretch over which the web between
// them about doubles, 1.5 sqrt(2 r web) for a rounded cut-out of half-width r, four webs for a straight one; 20 mm at
// the least.
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
          const double wanted =
              cut_out.shape == CutOutShape::rectangle ? 4 * web : 1.5 * std::sqrt(2 * half[across] * web);
          const double size = std::max(wanted, 0.02);
          int &count = ticks.count[axis][interval];
          count = std::max(count, int(std::ceil(grid.extent(axis, interval) / size - 1e-9)));
        }
    }
}

}  // namespace

Ticks make_ticks(const Structure &s, const Grid &grid, const std::vector<Region> &regions, const MeshOptions &options) {
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
  make_sides_even(grid, regions, ticks);
  for (int axis = 0; axis < 3; ++axis) {
    for (int i = 0; i < n[axis]; ++i) {
      ticks.offset[axis].push_back(int(ticks.position[axis].size()));
      for (int t = 0; t < ticks.count[axis][i]; ++t)
        ticks.position[axis].push_back(grid.lines[axis][i] + grid.extent(axis, i) * t / ticks.count[axis][i]);
    }
    ticks.offset[axis].push_back(int(ticks.position[axis].size()));
    ticks.position[axis].push_back(grid.lines[axis].back());
  }
  return ticks;
}

}  // namespace stillbox
