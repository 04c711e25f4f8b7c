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

bool share_a_board(const Owner &a, const Owner &b) {
  return a.board == b.board || a.board == b.mate || (a.mate >= 0 && (a.mate == b.board || a.mate == b.mate));
}

// The corners of the face between a block and the next one along an axis.
std::array<Eigen::Vector3d, 4> face_after(const Grid &grid, const std::array<int, 3> &block, int axis) {
  std::array<Eigen::Vector3d, 4> corners;
  const int p = (axis + 1) % 3, q = (axis + 2) % 3;
  for (int c = 0; c < 4; ++c) {
    corners[c][axis] = grid.lines[axis][block[axis] + 1];
    corners[c][p] = grid.lines[p][block[p] + (c & 1)];
    corners[c][q] = grid.lines[q][block[q] + (c >> 1)];
  }
  return corners;
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
  for (const Overlap &o : s.overlaps)
    if (std::minmax(o.first, o.second) == std::minmax(first, second))
      pair.overlaps.push_back({o.first == first ? 0 : 1, o.first == first ? 1 : 0, o.sharing});
  return contacts_of(pair).between(0, 1);
}

Contact Contacts::between(int first, int second) const {
  const auto found = of_pair.find(std::minmax(first, second));
  return found == of_pair.end() ? Contact{} : found->second;
}

Contacts contacts_of(const Structure &s) {
  Contacts result;
  result.wood.assign(s.boards.size(), 0);
  const Grid grid = make_grid(s);
  for (const Overlap &o : s.overlaps) {
    if (o.sharing == Sharing::first_owns) continue;
    Contact &contact = result.of_pair[std::minmax(o.first, o.second)];
    (o.sharing == Sharing::mitre ? contact.is_mitred : contact.is_lapped) = true;
  }
  // A mitred block goes with either of its boards.
  const auto meet = [&](const Owner &here, const Owner &there, const std::array<Eigen::Vector3d, 4> &corners) {
    for (int a : {here.board, here.mate})
      for (int b : {there.board, there.mate}) {
        if (a < 0 || b < 0) continue;
        Contact &contact = result.of_pair[std::minmax(a, b)];
        contact.touches = true;
        if (on_loose_side(s.boards[a], corners) || on_loose_side(s.boards[b], corners)) contact.is_loose = true;
      }
  };
  const auto n = grid.blocks();
  for (int k = 0; k < n[2]; ++k)
    for (int j = 0; j < n[1]; ++j)
      for (int i = 0; i < n[0]; ++i) {
        const std::array<int, 3> block{i, j, k};
        const Owner here = grid.owner(block);
        if (here.board < 0) continue;
        const double part = part_of_first(s, grid, block);
        result.wood[here.board] += part * grid.volume(block);
        if (here.mate >= 0) result.wood[here.mate] += (1 - part) * grid.volume(block);
        for (int axis = 0; axis < 3; ++axis) {
          std::array<int, 3> next = block;
          ++next[axis];
          const Owner there = grid.owner(next);
          if (there.board >= 0 && !share_a_board(here, there)) meet(here, there, face_after(grid, block, axis));
        }
      }
  return result;
}

}  // namespace stillbox
