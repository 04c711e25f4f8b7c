// SPDX-License-Identifier: MIT
#include "solver/node_roles.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <set>

namespace stillbox {
namespace {

constexpr double same_place = 1e-7;  // m

// A sheet counts as the board that it lies on.
int carrier(const Structure &s, int board) {
  return s.boards[board].role == BoardRole::sheet && s.boards[board].attached_to >= 0 ? s.boards[board].attached_to
                                                                                      : board;
}

}  // namespace

std::vector<char> near_joints(const Structure &s, const HexMesh &mesh, const Discretisation &d) {
  constexpr int nobody = -1, several = -2;
  std::vector<int> board_of(d.points.rows(), nobody);
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    const int board = mesh.cells[c].mate >= 0 ? several : carrier(s, mesh.cells[c].board);
    for (int node : d.cells[c]) board_of[node] = board_of[node] == nobody || board_of[node] == board ? board : several;
  }
  for (const auto &rim : d.rims)
    for (int node : rim.nodes) board_of[node] = several;
  for (const BondFace &face : mesh.bond_faces) {
    const Bond &bond = s.bonds[face.bond];
    if (bond.is_loose()) continue;
    for (const auto &[cell, corners] : {std::pair(face.cell_a, face.nodes_a), std::pair(face.cell_b, face.nodes_b)}) {
      const Eigen::Vector3d a = mesh.nodes[corners[0]], b = mesh.nodes[corners[1]], c = mesh.nodes[corners[2]];
      const Eigen::Vector3d normal = (b - a).cross(c - a).normalized();
      for (int node : d.cells[cell])
        if (std::abs((d.points.row(node).transpose() - a).dot(normal)) < same_place) board_of[node] = several;
    }
  }
  std::vector<char> near(d.points.rows(), 0);
  for (const auto &nodes : d.cells)
    if (std::any_of(nodes.begin(), nodes.end(), [&](int node) { return board_of[node] == several; }))
      for (int node : nodes) near[node] = 1;
  return near;
}

namespace {

// For a column of 2 p + 1 nodes at `heights`: the p + 1 whose heights are nearest to those of one element.
std::vector<int> leaders_of(const std::vector<double> &heights, const std::vector<double> &knots) {
  std::vector<int> leaders;
  const double low = heights.front(), size = heights.back() - low;
  for (double knot : knots) {
    int best = -1;
    for (std::size_t i = 0; i < heights.size(); ++i) {
      if (std::find(leaders.begin(), leaders.end(), int(i)) != leaders.end()) continue;
      if (best < 0 || std::abs((heights[i] - low) / size - knot) < std::abs((heights[best] - low) / size - knot))
        best = int(i);
    }
    leaders.push_back(best);
  }
  return leaders;
}

}  // namespace

std::vector<Follower> plain_columns(const Structure &s, const HexMesh &mesh, const std::vector<char> &near,
                                    const Discretisation &d, const MeshOptions &options) {
  std::vector<Follower> followers;
  if (s.boards.size() < 2 || d.degree < 3) return followers;  // shear across a board is a parabola: cubic movement
  // Per board and layer: columns of nodes by their place in the board's plane.
  using Place = std::array<long, 2>;
  std::map<std::array<int, 2>, std::map<Place, std::set<int>>> columns;
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    const HexCell &cell = mesh.cells[c];
    const Board &board = s.boards[cell.board];
    if (cell.mate >= 0 || board.layers[cell.layer].thickness > element_size(s, board, options)) continue;
    for (int node : d.cells[c]) {
      const Eigen::Vector3d r = d.points.row(node).transpose() - board.origin;
      columns[{cell.board, cell.layer}]
             [{std::lround(r.dot(board.u) / same_place), std::lround(r.dot(board.v) / same_place)}]
                 .insert(node);
    }
  }
  const std::size_t two_elements = 2 * std::size_t(d.degree) + 1;
  for (const auto &[key, of_board] : columns) {
    const Board &board = s.boards[key[0]];
    for (const auto &[place, set] : of_board) {
      if (set.size() != two_elements || std::any_of(set.begin(), set.end(), [&](int node) { return near[node]; }))
        continue;
      const auto height = [&](int node) { return (d.points.row(node).transpose() - board.origin).dot(board.normal()); };
      std::vector<int> nodes(set.begin(), set.end());
      std::sort(nodes.begin(), nodes.end(), [&](int a, int b) { return height(a) < height(b); });
      std::vector<double> heights, at;
      for (int node : nodes) heights.push_back(height(node));
      const std::vector<int> leaders = leaders_of(heights, d.knots);
      for (int leader : leaders) at.push_back(heights[leader]);
      for (std::size_t i = 0; i < nodes.size(); ++i) {
        if (std::find(leaders.begin(), leaders.end(), int(i)) != leaders.end()) continue;
        const Eigen::VectorXd weights = lagrange_values(at, heights[i]);
        Follower follower{nodes[i], {}};
        for (std::size_t k = 0; k < leaders.size(); ++k) follower.leaders.emplace_back(nodes[leaders[k]], weights[k]);
        followers.push_back(follower);
      }
    }
  }
  return followers;
}

std::vector<int> inner_cells(const HexMesh &mesh, const Discretisation &d, const std::vector<Follower> &followers) {
  constexpr int unseen = -2, shared = -1;
  std::vector<int> follower_at(d.points.rows(), -1), owner(d.points.rows(), unseen);
  for (std::size_t i = 0; i < followers.size(); ++i) follower_at[followers[i].node] = int(i);
  std::set<int> bonded;
  for (const BondFace &face : mesh.bond_faces) bonded.insert({face.cell_a, face.cell_b});
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    const int cell = bonded.count(int(c)) ? shared : int(c);
    const auto enter = [&](int node) { owner[node] = owner[node] == unseen || owner[node] == cell ? cell : shared; };
    for (int node : d.cells[c]) {
      if (follower_at[node] < 0) {
        enter(node);
        continue;
      }
      for (const auto &leader : followers[follower_at[node]].leaders) enter(leader.first);
    }
  }
  for (int &cell : owner) cell = std::max(cell, shared);
  return owner;
}

}  // namespace stillbox
