// SPDX-License-Identifier: MIT
#include "mesh/regions.h"

#include <algorithm>
#include <map>
#include <set>

namespace stillbox {
namespace {

bool is_relief(const Grid &grid, const FreeColumns &f, const Column &column) {
  return grid.is_relief(f.a, column[0]) || grid.is_relief(f.b, column[1]);
}

// The columns that can be reached from `start`; those along joints are left to bricks unless `wide`.
std::vector<Column> component(const Grid &grid, const FreeColumns &f, const Column &start, bool wide) {
  std::set<Column> seen{start};
  std::vector<Column> list{start};
  for (std::size_t i = 0; i < list.size(); ++i) {
    const Column at = list[i];
    for (const Column &next :
         {Column{at[0] + 1, at[1]}, Column{at[0] - 1, at[1]}, Column{at[0], at[1] + 1}, Column{at[0], at[1] - 1}})
      if (f.same(start, next) && (wide || !is_relief(grid, f, next)) && seen.insert(next).second) list.push_back(next);
  }
  std::sort(list.begin(), list.end());
  return list;
}

// Chains the boundary edges of a set of columns into loops with the inside on the left.
std::vector<std::vector<std::array<int, 2>>> boundary_loops(const std::vector<Column> &columns) {
  const std::set<Column> set(columns.begin(), columns.end());
  std::multimap<Column, Column> edges;
  for (const auto &[i, j] : columns) {
    if (!set.count({i, j - 1})) edges.insert({{i, j}, {i + 1, j}});
    if (!set.count({i + 1, j})) edges.insert({{i + 1, j}, {i + 1, j + 1}});
    if (!set.count({i, j + 1})) edges.insert({{i + 1, j + 1}, {i, j + 1}});
    if (!set.count({i - 1, j})) edges.insert({{i, j + 1}, {i, j}});
  }
  std::vector<std::vector<std::array<int, 2>>> loops;
  while (!edges.empty()) {
    std::vector<std::array<int, 2>> loop;
    auto edge = edges.begin();
    const Column start = edge->first;
    Column from = edge->first, to = edge->second;
    edges.erase(edge);
    loop.push_back(from);
    while (to != start) {
      loop.push_back(to);
      auto [low, high] = edges.equal_range(to);
      // Where two loops touch in a point, turn left: both stay simple.
      auto best = low;
      for (auto it = low; it != high; ++it) {
        const int cross = (to[0] - from[0]) * (it->second[1] - to[1]) - (to[1] - from[1]) * (it->second[0] - to[0]);
        if (cross > 0) best = it;
      }
      from = to;
      to = best->second;
      edges.erase(best);
    }
    // Start in a true corner, so that the coarse corners of the region's mesh include all of its corners.
    const std::size_t n = loop.size();
    for (std::size_t i = 0; i < n; ++i) {
      const auto &before = loop[n - 1], &at = loop[0], &after = loop[1];
      if ((at[0] == before[0]) != (after[0] == at[0])) break;
      std::rotate(loop.begin(), loop.begin() + 1, loop.end());
    }
    loops.push_back(loop);
  }
  // The outer loop encloses the largest area; it comes first.
  const auto area = [](const std::vector<std::array<int, 2>> &loop) {
    long twice = 0;
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const auto &p = loop[i], &q = loop[(i + 1) % loop.size()];
      twice += long(p[0]) * q[1] - long(q[0]) * p[1];
    }
    return twice;
  };
  std::sort(loops.begin(), loops.end(), [&](const auto &x, const auto &y) { return area(x) > area(y); });
  return loops;
}

}  // namespace

std::vector<StraightSide> straight_sides(const std::vector<std::array<int, 2>> &loop) {
  const std::size_t n = loop.size();
  const auto step = [&](std::size_t i) {
    return std::array<int, 2>{loop[(i + 1) % n][0] - loop[i % n][0], loop[(i + 1) % n][1] - loop[i % n][1]};
  };
  std::size_t start = 0;
  while (start < n && step(start) == step(start + n - 1)) ++start;
  std::vector<StraightSide> sides;
  for (std::size_t i = start; i < start + n;) {
    std::size_t end = i;
    while (end < start + n && step(end) == step(i)) ++end;
    const int direction = step(i)[0] != 0 ? 0 : 1;
    const int p = loop[i % n][direction], q = loop[end % n][direction];
    sides.push_back({direction, std::min(p, q), std::max(p, q)});
    i = end;
  }
  return sides;
}

std::vector<Region> find_regions(const Structure &s, const Grid &grid, const std::set<int> &boards) {
  std::vector<Region> regions;
  for (const int which : boards) {
    const Board &board = s.boards[which];
    const auto is_flat = [&](const CutOut &x) { return !cut_by_grid(s, which, x); };
    const FreeColumns f = free_columns(s, grid, which);
    std::map<Column, std::size_t> region_of;
    // A cut-out that reaches into the strip along a joint, or nearly, takes all of that strip into its region.
    const auto needs_strip = [&](const PlanarCutOut &p) {
      const double room = 0.8 * board.thickness();
      const Eigen::Vector2d half(p.width / 2 + room, p.height / 2 + room);
      const auto near = columns_under(grid, f.c, p.centre - half, p.centre + half);
      return std::any_of(near.begin(), near.end(), [&](const Column &column) { return is_relief(grid, f, column); });
    };
    const bool wide = std::any_of(board.cut_outs.begin(), board.cut_outs.end(),
                                  [&](const CutOut &x) { return is_flat(x) && needs_strip(in_plane(board, x, f.c)); });
    for (std::size_t h = 0; h < board.cut_outs.size(); ++h) {
      const CutOut &cut_out = board.cut_outs[h];
      if (!is_flat(cut_out)) continue;
      const PlanarCutOut p = in_plane(board, cut_out, f.c);
      const Eigen::Vector2d half(p.width / 2, p.height / 2);
      const std::vector<Column> under = columns_under(grid, f.c, p.centre - half, p.centre + half);
      for (const Column &column : under)
        if (!f.same(under[0], column))
          throw MeshError("cut-out \"" + cut_out.name + "\" of \"" + board.name +
                          "\" meets the edge of the board or something glued to it");
      const auto found = region_of.find(under[0]);
      if (found != region_of.end()) {
        regions[found->second].cut_outs.push_back(int(h));
        continue;
      }
      Region region;
      region.board = which;
      region.c = f.c;
      region.columns = component(grid, f, under[0], wide);
      region.first_block = f.stacks.at(under[0]).first;
      region.end_block = f.stacks.at(under[0]).end;
      region.cut_outs = {int(h)};
      region.loops = boundary_loops(region.columns);
      for (const Column &column : region.columns) region_of[column] = regions.size();
      regions.push_back(region);
    }
  }
  return regions;
}

}  // namespace stillbox
