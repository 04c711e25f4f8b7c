// SPDX-License-Identifier: MIT
#include "mesh/glue.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace stillbox {
namespace {

constexpr int faces[6][4] = {{0, 2, 4, 6}, {1, 3, 5, 7}, {0, 1, 4, 5}, {2, 3, 6, 7}, {0, 1, 2, 3}, {4, 5, 6, 7}};

int find_root(std::vector<int> &parent, int i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

// True when the point's plane is a side of the board that is not glued.
bool on_loose_side(const Board &board, const std::array<Eigen::Vector3d, 4> &corners) {
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

}  // namespace

void glue_cells(const Structure &s, const std::vector<Eigen::Vector3d> &places, HexMesh &mesh) {
  const int n = int(mesh.cells.size());
  std::vector<int> parent(8 * std::size_t(n));
  std::iota(parent.begin(), parent.end(), 0);
  std::map<std::array<int, 4>, std::pair<int, int>> first_at;  // face -> (cell, local face)
  const auto corner_at = [&](int cell, int place) {
    const auto &nodes = mesh.cells[cell].nodes;
    return 8 * cell + int(std::find(nodes.begin(), nodes.end(), place) - nodes.begin());
  };
  for (int cell = 0; cell < n; ++cell)
    for (int f = 0; f < 6; ++f) {
      std::array<int, 4> key{};
      for (int i = 0; i < 4; ++i) key[i] = mesh.cells[cell].nodes[faces[f][i]];
      const std::array<int, 4> corners = key;
      std::sort(key.begin(), key.end());
      const auto [it, is_new] = first_at.try_emplace(key, cell, f);
      if (is_new) continue;
      const int other = it->second.first;
      if (mesh.cells[cell].board != mesh.cells[other].board) {
        std::array<Eigen::Vector3d, 4> points;
        for (int i = 0; i < 4; ++i) points[i] = places[corners[i]];
        if (on_loose_side(s.boards[mesh.cells[cell].board], points) ||
            on_loose_side(s.boards[mesh.cells[other].board], points))
          continue;
      }
      for (int place : corners)
        parent[find_root(parent, corner_at(cell, place))] = find_root(parent, corner_at(other, place));
    }
  std::vector<int> node_of(parent.size(), -1);
  mesh.nodes.clear();
  const std::vector<HexCell> drafted = mesh.cells;
  for (int cell = 0; cell < n; ++cell)
    for (int i = 0; i < 8; ++i) {
      const int root = find_root(parent, 8 * cell + i);
      if (node_of[root] < 0) {
        node_of[root] = int(mesh.nodes.size());
        mesh.nodes.push_back(places[drafted[cell].nodes[i]]);
      }
      mesh.cells[cell].nodes[i] = node_of[root];
    }
  for (RimFace &face : mesh.rim_faces)
    for (int &node : face.nodes) {
      const auto &at = drafted[face.cell].nodes;
      node = mesh.cells[face.cell].nodes[std::find(at.begin(), at.end(), node) - at.begin()];
    }
}

}  // namespace stillbox
