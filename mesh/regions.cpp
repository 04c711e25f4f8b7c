// SPDX-License-Identifier: MIT
#include "mesh/regions.h"

#include <algorithm>
#include <map>
#include <set>

namespace stillbox {
namespace {

using Column = std::array<int, 2>;

// What a column of the grid holds along the board's normal: the board and its sheets, and what lies beyond.
struct Stack {
  int first = -1, end = -1;
  std::vector<Owner> owners;
  bool free = false;  // nothing is glued on either face
};

struct Finder {
  const Structure &s;
  const Grid &grid;
  int board, c, a, b;
  std::map<Column, Stack> stacks;

  Finder(const Structure &structure, const Grid &g, int which)
      : s(structure),
        grid(g),
        board(which),
        c(axis_of(structure.boards[which].normal())),
        a((c + 1) % 3),
        b((c + 2) % 3) {
    const auto n = grid.blocks();
    for (int i = 0; i < n[a]; ++i)
      for (int j = 0; j < n[b]; ++j) {
        const Stack stack = stack_at({i, j});
        if (stack.free) stacks[{i, j}] = stack;
      }
  }

  Owner at(const Column &column, int k) const {
    std::array<int, 3> block{};
    block[a] = column[0];
    block[b] = column[1];
    block[c] = k;
    return grid.owner(block);
  }

  bool belongs(const Owner &o) const {
    return o.board >= 0 && o.mate < 0 && (o.board == board || s.boards[o.board].attached_to == board);
  }

  Stack stack_at(const Column &column) const {
    Stack stack;
    const auto [low, high] = world_bounds(s.boards[board]);
    double owned = 0;
    for (int k = 0; k < grid.blocks()[c]; ++k) {
      const Owner o = at(column, k);
      if (!belongs(o)) continue;
      if (stack.first < 0) stack.first = k;
      if (stack.end >= 0 && stack.end != k) return stack;
      stack.end = k + 1;
      stack.owners.push_back(o);
      if (o.board == board) owned += grid.extent(c, k);
    }
    stack.free = stack.first >= 0 && owned > 0.999 * (high[c] - low[c]) && at(column, stack.first - 1).board < 0 &&
                 at(column, stack.end).board < 0;
    return stack;
  }

  bool same(const Column &x, const Column &y) const {
    const auto i = stacks.find(x), j = stacks.find(y);
    return i != stacks.end() && j != stacks.end() && i->second.first == j->second.first &&
           i->second.owners == j->second.owners;
  }

  bool is_relief(const Column &column) const { return grid.is_relief(a, column[0]) || grid.is_relief(b, column[1]); }

  // The columns that can be reached from `start`; those along joints are left to bricks unless `wide`.
  std::vector<Column> component(const Column &start, bool wide) const {
    std::set<Column> seen{start};
    std::vector<Column> list{start};
    for (std::size_t i = 0; i < list.size(); ++i) {
      const Column at_column = list[i];
      for (const Column &next : {Column{at_column[0] + 1, at_column[1]}, Column{at_column[0] - 1, at_column[1]},
                                 Column{at_column[0], at_column[1] + 1}, Column{at_column[0], at_column[1] - 1}})
        if (same(start, next) && (wide || !is_relief(next)) && seen.insert(next).second) list.push_back(next);
    }
    std::sort(list.begin(), list.end());
    return list;
  }

  // The columns that a rectangle [low, high] of the plane meets.
  std::vector<Column> columns_under(const Eigen::Vector2d &low, const Eigen::Vector2d &high) const {
    std::vector<Column> list;
    for (int i = 0; i < grid.blocks()[a]; ++i)
      for (int j = 0; j < grid.blocks()[b]; ++j)
        if (grid.lines[a][i] < high.x() && grid.lines[a][i + 1] > low.x() && grid.lines[b][j] < high.y() &&
            grid.lines[b][j + 1] > low.y())
          list.push_back({i, j});
    return list;
  }
};

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

PlanarCutOut in_plane(const Board &board, const CutOut &cut_out, int c) {
  const int a = (c + 1) % 3, b = (c + 2) % 3;
  const Eigen::Vector3d centre = board.at(cut_out.centre.x(), cut_out.centre.y(), 0);
  const bool u_along_a = axis_of(board.u) == a;
  return {
      {centre[a], centre[b]}, u_along_a ? cut_out.width : cut_out.height, u_along_a ? cut_out.height : cut_out.width};
}

std::vector<Region> find_regions(const Structure &s, const Grid &grid) {
  std::vector<Region> regions;
  for (std::size_t which = 0; which < s.boards.size(); ++which) {
    const Board &board = s.boards[which];
    const bool any =
        std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [](const CutOut &x) { return !x.opening; });
    if (!any || !is_axis_aligned_box(board)) continue;
    const Finder finder(s, grid, int(which));
    std::map<Column, std::size_t> region_of;
    // A cut-out that reaches into the strip along a joint, or nearly, takes all of that strip into its region.
    const auto needs_strip = [&](const PlanarCutOut &p) {
      const double room = 0.8 * board.thickness();
      const Eigen::Vector2d half(p.width / 2 + room, p.height / 2 + room);
      const auto near = finder.columns_under(p.centre - half, p.centre + half);
      return std::any_of(near.begin(), near.end(), [&](const Column &column) { return finder.is_relief(column); });
    };
    const bool wide = std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &x) {
      return !x.opening && needs_strip(in_plane(board, x, finder.c));
    });
    for (std::size_t h = 0; h < board.cut_outs.size(); ++h) {
      const CutOut &cut_out = board.cut_outs[h];
      if (cut_out.opening) continue;
      const PlanarCutOut p = in_plane(board, cut_out, finder.c);
      const Eigen::Vector2d half(p.width / 2, p.height / 2);
      const std::vector<Column> under = finder.columns_under(p.centre - half, p.centre + half);
      for (const Column &column : under)
        if (!finder.same(under[0], column))
          throw MeshError("cut-out \"" + cut_out.name + "\" of \"" + board.name +
                          "\" meets the edge of the board or something glued to it");
      const auto found = region_of.find(under[0]);
      if (found != region_of.end()) {
        regions[found->second].cut_outs.push_back(int(h));
        continue;
      }
      Region region;
      region.board = int(which);
      region.c = finder.c;
      region.columns = finder.component(under[0], wide);
      region.first_block = finder.stacks.at(under[0]).first;
      region.end_block = finder.stacks.at(under[0]).end;
      region.cut_outs = {int(h)};
      region.loops = boundary_loops(region.columns);
      for (const Column &column : region.columns) region_of[column] = regions.size();
      regions.push_back(region);
    }
  }
  return regions;
}

}  // namespace stillbox
