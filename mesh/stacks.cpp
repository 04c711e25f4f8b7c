// SPDX-License-Identifier: MIT
#include "mesh/stacks.h"

namespace stillbox {
namespace {

Owner at(const Grid &grid, const FreeColumns &f, const Column &column, int k) {
  std::array<int, 3> block{};
  block[f.a] = column[0];
  block[f.b] = column[1];
  block[f.c] = k;
  return grid.owner(block);
}

Stack stack_at(const Structure &s, const Grid &grid, const FreeColumns &f, const Column &column) {
  Stack stack;
  const auto [low, high] = world_bounds(s.boards[f.board]);
  double owned = 0;
  for (int k = 0; k < grid.blocks()[f.c]; ++k) {
    const Owner o = at(grid, f, column, k);
    if (o.board < 0 || o.mate >= 0 || (o.board != f.board && s.boards[o.board].attached_to != f.board)) continue;
    if (stack.first < 0) stack.first = k;
    if (stack.end >= 0 && stack.end != k) return stack;
    stack.end = k + 1;
    stack.owners.push_back(o);
    if (o.board == f.board) owned += grid.extent(f.c, k);
  }
  stack.free = stack.first >= 0 && owned > 0.999 * (high[f.c] - low[f.c]) &&
               at(grid, f, column, stack.first - 1).board < 0 && at(grid, f, column, stack.end).board < 0;
  return stack;
}

}  // namespace

bool FreeColumns::same(const Column &x, const Column &y) const {
  const auto i = stacks.find(x), j = stacks.find(y);
  return i != stacks.end() && j != stacks.end() && i->second.first == j->second.first &&
         i->second.owners == j->second.owners;
}

FreeColumns free_columns(const Structure &s, const Grid &grid, int board) {
  FreeColumns f;
  f.board = board;
  f.c = axis_of(s.boards[board].normal());
  f.a = (f.c + 1) % 3;
  f.b = (f.c + 2) % 3;
  const auto n = grid.blocks();
  for (int i = 0; i < n[f.a]; ++i)
    for (int j = 0; j < n[f.b]; ++j) {
      const Stack stack = stack_at(s, grid, f, {i, j});
      if (stack.free) f.stacks[{i, j}] = stack;
    }
  return f;
}

std::vector<Column> columns_under(const Grid &grid, int c, const Eigen::Vector2d &low, const Eigen::Vector2d &high) {
  const int a = (c + 1) % 3, b = (c + 2) % 3;
  std::vector<Column> list;
  for (int i = 0; i < grid.blocks()[a]; ++i)
    for (int j = 0; j < grid.blocks()[b]; ++j)
      if (grid.lines[a][i] < high.x() && grid.lines[a][i + 1] > low.x() && grid.lines[b][j] < high.y() &&
          grid.lines[b][j + 1] > low.y())
        list.push_back({i, j});
  return list;
}

PlanarCutOut in_plane(const Board &board, const CutOut &cut_out, int c) {
  const int a = (c + 1) % 3, b = (c + 2) % 3;
  const Eigen::Vector3d centre = board.at(cut_out.centre.x(), cut_out.centre.y(), 0);
  const bool u_along_a = axis_of(board.u) == a;
  return {
      {centre[a], centre[b]}, u_along_a ? cut_out.width : cut_out.height, u_along_a ? cut_out.height : cut_out.width};
}

}  // namespace stillbox
