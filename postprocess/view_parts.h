// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <vector>

#include "mesh/structure.h"
#include "solver/modal_result.h"

namespace stillbox {

// Internal to the turning view and the drawing of solids.

/// A point of a surface as a sum over nodes.
struct NodeSum {
  std::vector<std::pair<int, double>> nodes;
};

inline Eigen::Vector3d sum_of(const NodeSum &place, const Eigen::Matrix<double, Eigen::Dynamic, 3> &values) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (const auto &[node, weight] : place.nodes) sum += weight * values.row(node).transpose();
  return sum;
}

using Edge = std::pair<int, int>;
inline Edge edge_of(int a, int b) { return {std::min(a, b), std::max(a, b)}; }

using RoundedNormal = std::array<int, 3>;  ///< tells faces at an angle from each other
inline RoundedNormal rounded_normal(const Eigen::Vector3d &n) {
  return {int(std::lround(3 * n.x())), int(std::lround(3 * n.y())), int(std::lround(3 * n.z()))};
}

constexpr double round_edge = 0.02;  ///< an edge that lies so far off its chord, by its length, is round
constexpr double sharp = 0.8;        ///< cosine below which two faces meet in an edge
constexpr double flat_face = 0.999;  ///< cosine to the board's normal

struct Vertices {
  std::vector<NodeSum> places;
  std::vector<int> board;
  std::vector<Eigen::Vector3d> normal;
  std::vector<std::array<int, 4>> quads;
  std::vector<Edge> lines;
};

/// A face beside an edge: its normal, its board, and the edge's vertices there.
struct EdgeSide {
  Eigen::Vector3d normal;
  int board;
  Edge vertices;
};
/// By the edge's two ends.
template <class Key>
using EdgeSides = std::map<std::pair<Key, Key>, std::vector<EdgeSide>>;

/// Edges to draw: free ones, and those where faces meet at an angle or boards meet; once for each board.
template <class Key>
std::vector<Edge> shown_lines(const EdgeSides<Key> &sides) {
  std::vector<Edge> lines;
  for (const auto &[key, list] : sides) {
    bool shown = list.size() == 1;
    for (std::size_t i = 1; i < list.size(); ++i)
      shown = shown || list[i].normal.dot(list[0].normal) < sharp || list[i].board != list[0].board;
    if (!shown) continue;
    std::vector<int> drawn;
    for (const EdgeSide &side : list) {
      if (std::find(drawn.begin(), drawn.end(), side.board) != drawn.end()) continue;
      drawn.push_back(side.board);
      lines.push_back(side.vertices);
    }
  }
  return lines;
}

/// A triangle of a face of tetrahedra, or half of one of hexahedra, by its corner nodes, anticlockwise from outside.
struct SolidFace {
  int cell = 0, board = 0;
  std::array<int, 3> corners{};
  Eigen::Vector3d normal{0, 0, 1};
};

/// What is seen of a cabinet of solids: its outside, the rims of its cut-outs, its braces.
struct SolidView {
  SolidView(const Structure &structure, const ModalField &field);
  /// The middle of an edge, on the curved surface.
  const NodeSum &middle(const Edge &edge) const { return middles.at(edge); }
  /// Faces with their round edges halved, or all edges.
  Vertices vertices(bool halve_all) const;

  const Structure &structure;
  const ModalField &field;
  std::vector<SolidFace> faces;
  std::map<Edge, NodeSum> middles;
  std::map<Edge, bool> is_round;
};

/// Middles of the edges of cells' faces, on the curved surface; of a hexahedron's face also that of its first diagonal.
struct FaceMiddles {
  explicit FaceMiddles(const ModalField &field);
  bool is_tetrahedral() const { return field.tetrahedron.rows() > 0; }
  void add(int cell, int face, std::map<Edge, NodeSum> &middles) const;

  const ModalField &field;
  Eigen::MatrixXd basis;  ///< of tetrahedra
  Eigen::VectorXd half;   ///< of hexahedra: the polynomials half-way
};

/// A face as one triangle, or as two along its first diagonal.
std::vector<std::array<int, 3>> face_triangles(const ModalField &field, int cell, int face);

}  // namespace stillbox
