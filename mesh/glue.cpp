// SPDX-License-Identifier: MIT
#include "mesh/glue.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "mesh/bond_width.h"
#include "mesh/contact.h"

namespace stillbox {
namespace {

constexpr int faces[6][4] = {{0, 2, 4, 6}, {1, 3, 5, 7}, {0, 1, 4, 5}, {2, 3, 6, 7}, {0, 1, 2, 3}, {4, 5, 6, 7}};

int find_root(std::vector<int> &parent, int i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

int carrier_of(const Structure &s, int board) {
  return s.boards[board].attached_to >= 0 ? s.boards[board].attached_to : board;
}

// The bonds of a structure by pair of boards.
class BondFinder {
 public:
  explicit BondFinder(const Structure &s) : structure_(s), is_found_(s.bonds.size(), false) {
    for (std::size_t b = 0; b < s.bonds.size(); ++b)
      of_pair_.emplace(std::minmax(s.bonds[b].first, s.bonds[b].second), int(b));
  }

  struct Meeting {
    int bond = -1;           ///< -1: glued
    bool is_direct = false;  ///< between the two boards themselves, not their sheets
    bool is_turned = false;  ///< the first cell is of the bond's second board
  };

  /// How two cells of different boards meet. A mitred cell goes with either of its boards.
  Meeting meeting(const HexCell &a, const HexCell &b) {
    Meeting m;
    if (of_pair_.empty()) return m;
    for (int p : {a.board, a.mate})
      for (int q : {b.board, b.mate}) {
        if (p < 0 || q < 0) continue;
        if (p == q) return {};
        const int first = carrier_of(structure_, p), second = carrier_of(structure_, q);
        const auto found = of_pair_.find(std::minmax(first, second));
        if (found == of_pair_.end() || m.bond >= 0) continue;
        m.bond = found->second;
        m.is_direct = first == p && second == q;
        m.is_turned = structure_.bonds[m.bond].first != first;
      }
    if (m.is_direct) is_found_[m.bond] = true;
    return m;
  }

  void refuse_idle_bonds() const {
    for (std::size_t b = 0; b < is_found_.size(); ++b) {
      const Bond &bond = structure_.bonds[b];
      if (is_found_[b]) continue;
      throw MeshError("the bond \"" + bond.name + "\" finds no place where \"" + structure_.boards[bond.first].name +
                      "\" and \"" + structure_.boards[bond.second].name + "\" touch");
    }
  }

 private:
  const Structure &structure_;
  std::map<std::pair<int, int>, int> of_pair_;
  std::vector<bool> is_found_;
};

}  // namespace

void glue_cells(const Structure &s, const std::vector<Eigen::Vector3d> &places, HexMesh &mesh) {
  const int n = int(mesh.cells.size());
  std::vector<int> parent(8 * std::size_t(n));
  std::iota(parent.begin(), parent.end(), 0);
  BondFinder bonds(s);
  mesh.bond_faces.clear();
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
        const auto meeting = bonds.meeting(mesh.cells[cell], mesh.cells[other]);
        if (meeting.bond >= 0) {
          if (meeting.is_direct && !s.bonds[meeting.bond].is_loose()) {
            const int a = meeting.is_turned ? other : cell, b = meeting.is_turned ? cell : other;
            mesh.bond_faces.push_back({meeting.bond, a, b, corners, corners, 0});
          }
          continue;
        }
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
  const auto to_nodes = [&](int cell, std::array<int, 4> &corners) {
    for (int &node : corners) {
      const auto &at = drafted[cell].nodes;
      node = mesh.cells[cell].nodes[std::find(at.begin(), at.end(), node) - at.begin()];
    }
  };
  for (RimFace &face : mesh.rim_faces) to_nodes(face.cell, face.nodes);
  for (BondFace &face : mesh.bond_faces) {
    to_nodes(face.cell_a, face.nodes_a);
    to_nodes(face.cell_b, face.nodes_b);
  }
  bonds.refuse_idle_bonds();
  set_bond_widths(mesh);
}

}  // namespace stillbox
