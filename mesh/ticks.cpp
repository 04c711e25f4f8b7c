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
