// SPDX-License-Identifier: MIT
#include "mesh/contact.h"

#include <algorithm>
#include <cmath>

#include "mesh/grid.h"

namespace stillbox {
namespace {

constexpr double touch = 1e-6;  // m

// True when the boxes are clear of each other, or meet along an edge or in a corner only.
bool are_apart(const Board &a, const Board &b) {
  const auto [a_low, a_high] = world_bounds(a);
  const auto [b_low, b_high] = world_bounds(b);
  const Eigen::Vector3d shared = a_high.cwiseMin(b_high) - a_low.cwiseMax(b_low);
  return shared.minCoeff() < -touch || (shared.array() < touch).count() > 1;
}

}  // namespace

bool on_loose_side(const Board &board, const std::array<Eigen::Vector3d, 4> &corners) {
  if (board.role == BoardRole::sheet) {
    double least = 1e300, most = -1e300;
    for (const Eigen::Vector3d &x : corners) {
      least = std::min(least, x.dot(board.normal()));
      most = std::max(most, x.dot(board.normal()));
    }
    if (most - least > 1e-9) return true;
  }
  if (std::all_of(board.glued.begin(), board.glued.end(), [](bool g) { return g; })) return false;
  const auto [low, high] = outline_bounds(board);
  const double limits[6] = {low.x(), high.x(), low.y(), high.y(), 0, board.thickness()};
  const Eigen::Vector3d axes[3] = {board.u, board.v, board.normal()};
  for (int side = 0; side < 6; ++side) {
    if (board.glued[side]) continue;
    const bool all_on = std::all_of(corners.begin(), corners.end(), [&](const Eigen::Vector3d &x) {
      return std::abs((x - board.origin).dot(axes[side / 2]) - limits[side]) < 1e-7;
    });
    if (all_on) return true;
  }
  return false;
}

Contact contact_between(const Structure &s, int first, int second) {
  Contact contact;
  const int which[2] = {first, second};
  Structure pair;
  for (int w : which) {
    if (!is_axis_aligned_box(s.boards[w])) return contact;  // such boards stand alone
    pair.boards.push_back(s.boards[w]);
    pair.boards.back().attached_to = -1;
  }
  if (are_apart(pair.boards[0], pair.boards[1])) return contact;
  for (const Overlap &o : s.overlaps) {
    if (std::minmax(o.first, o.second) != std::minmax(first, second)) continue;
    contact.is_mitred = o.sharing == Sharing::mitre;
    contact.is_lapped = o.sharing == Sharing::half_lap;
    pair.overlaps.push_back({o.first == first ? 0 : 1, o.first == first ? 1 : 0, o.sharing});
  }
  const Grid grid = make_grid(pair);
  const auto n = grid.blocks();
  for (int k = 0; k < n[2]; ++k)
    for (int j = 0; j < n[1]; ++j)
      for (int i = 0; i < n[0]; ++i)
        for (int axis = 0; axis < 3; ++axis) {
          const std::array<int, 3> block{i, j, k};
          std::array<int, 3> next = block;
          ++next[axis];
          const int a = grid.owner(block).board, b = grid.owner(next).board;
          if (a < 0 || b < 0 || a == b) continue;
          std::array<Eigen::Vector3d, 4> corners;
          const int p = (axis + 1) % 3, q = (axis + 2) % 3;
          for (int c = 0; c < 4; ++c) {
            corners[c][axis] = grid.lines[axis][next[axis]];
            corners[c][p] = grid.lines[p][block[p] + (c & 1)];
            corners[c][q] = grid.lines[q][block[q] + (c >> 1)];
          }
          contact.touches = true;
          if (on_loose_side(pair.boards[a], corners) || on_loose_side(pair.boards[b], corners)) contact.is_loose = true;
        }
  return contact;
}

}  // namespace stillbox
