// SPDX-License-Identifier: MIT
#include "postprocess/view_parts.h"
#include "solver/solid_skin.h"
#include "solver/tetrahedra.h"

namespace stillbox {
namespace {

constexpr std::array<Edge, 6> cell_edges{Edge{0, 1}, Edge{0, 2}, Edge{0, 3}, Edge{1, 2}, Edge{1, 3}, Edge{2, 3}};

using Key = std::array<int, 3>;  // of a place: a corner, the middle of an edge

Key key_of(int node) { return {0, node, 0}; }
Key key_of(const Edge &edge) { return {1, edge.first, edge.second}; }

}  // namespace

Eigen::MatrixXd middle_weights(const ModalField &field) {
  const Eigen::MatrixXd basis = tetrahedron_basis(field.degree, field.tetrahedron);
  Eigen::MatrixXd weights(6, field.tetrahedron.rows());
  for (int e = 0; e < 6; ++e) {
    const auto &[a, b] = cell_edges[std::size_t(e)];
    const Eigen::Vector3d xi = (field.tetrahedron.row(a) + field.tetrahedron.row(b)).transpose() / 2;
    weights.row(e) = monomials(field.degree, xi).transpose() * basis;
  }
  return weights;
}

void add_middles(const ModalField &field, const Eigen::MatrixXd &weights, int cell, std::map<Edge, Place> &middles) {
  const std::vector<int> &nodes = field.cells[std::size_t(cell)];
  for (int e = 0; e < 6; ++e) {
    const auto &[a, b] = cell_edges[std::size_t(e)];
    Place &place = middles[edge_of(nodes[std::size_t(a)], nodes[std::size_t(b)])];
    if (!place.nodes.empty()) continue;
    for (Eigen::Index i = 0; i < weights.cols(); ++i)
      if (std::abs(weights(e, i)) > 1e-9) place.nodes.emplace_back(nodes[std::size_t(i)], weights(e, i));
  }
}

SolidView::SolidView(const Structure &s, const ModalField &f) : structure(s), field(f) {
  const Eigen::MatrixXd weights = middle_weights(field);
  const auto point = [&](int node) -> Eigen::Vector3d { return field.points.row(node); };
  for (const SkinFace &skin : solid_skin(structure, field.cells, field.cell_board, field.points)) {
    const int board = field.cell_board[std::size_t(skin.cell)];
    const bool is_wall = structure.boards[std::size_t(board)].role == BoardRole::wall;
    if (is_wall && skin.part == SkinPart::inside) continue;
    SolidFace face{skin.cell, board, {}, {}};
    const std::vector<int> &nodes = field.cells[std::size_t(skin.cell)];
    for (int k = 0, c = 0; c < 4; ++c)
      if (c != skin.face) face.corners[std::size_t(k++)] = nodes[std::size_t(c)];
    const Eigen::Vector3d a = point(face.corners[0]), b = point(face.corners[1]), c = point(face.corners[2]);
    face.normal = (b - a).cross(c - a).normalized();
    if (face.normal.dot(point(nodes[std::size_t(skin.face)]) - a) > 0) {
      face.normal = -face.normal;
      std::swap(face.corners[1], face.corners[2]);
    }
    faces.push_back(face);
    add_middles(field, weights, skin.cell, middles);
    for (int k = 0; k < 3; ++k) {
      const Edge edge = edge_of(face.corners[std::size_t(k)], face.corners[std::size_t((k + 1) % 3)]);
      const Eigen::Vector3d from = point(edge.first), to = point(edge.second);
      is_round[edge] =
          (sum_of(middles.at(edge), field.points) - (from + to) / 2).norm() > round_edge * (to - from).norm();
    }
  }
}

Vertices SolidView::vertices(bool halve_all) const {
  Vertices out;
  std::map<std::pair<Key, std::pair<int, RoundedNormal>>, int> known;
  EdgeSides<Key> sides;
  for (const SolidFace &f : faces) {
    const RoundedNormal rounded = rounded_normal(f.normal);
    const Board &board = structure.boards[std::size_t(f.board)];
    Eigen::Vector3d middle = Eigen::Vector3d::Zero();
    for (const int node : f.corners) middle += field.points.row(node).transpose() / 3;
    const double along = f.normal.dot(board.axes_at(middle).col(2));
    // A bent face of a few flat pieces: the pieces lean by some degrees.
    const bool is_face = std::abs(along) > (board.bend ? 0.95 : flat_face);
    const auto vertex = [&](const Key &key) {
      const auto [it, fresh] = known.emplace(std::pair(key, std::pair(f.board, rounded)), int(out.places.size()));
      if (fresh) {
        out.places.push_back(key[0] == 0 ? Place{{{key[1], 1.0}}} : middles.at({key[1], key[2]}));
        out.board.push_back(f.board);
        const Eigen::Vector3d x = sum_of(out.places.back(), field.points);
        out.normal.push_back(is_face ? Eigen::Vector3d((along > 0 ? 1 : -1) * board.axes_at(x).col(2))
                                     : Eigen::Vector3d::Zero());
      }
      return it->second;
    };
    std::array<int, 3> at{}, half{-1, -1, -1};
    for (std::size_t k = 0; k < 3; ++k) {
      const int from = f.corners[k], to = f.corners[(k + 1) % 3];
      const Edge edge = edge_of(from, to);
      at[k] = vertex(key_of(from));
      if (halve_all || is_round.at(edge)) half[k] = vertex(key_of(edge));
    }
    const auto triangle = [&](int a, int b, int c) { out.quads.push_back({a, b, c, c}); };
    const int halves = int(std::count_if(half.begin(), half.end(), [](int h) { return h >= 0; }));
    if (halves == 3) {
      for (std::size_t k = 0; k < 3; ++k) triangle(at[k], half[k], half[(k + 2) % 3]);
      triangle(half[0], half[1], half[2]);
    } else if (halves == 0) {
      triangle(at[0], at[1], at[2]);
    } else {
      // Turned so that the first edge is halved and the last one is not.
      std::size_t k = 0;
      while (half[k] < 0 || half[(k + 2) % 3] >= 0) ++k;
      const int a = at[k], b = at[(k + 1) % 3], c = at[(k + 2) % 3], h = half[k], g = half[(k + 1) % 3];
      triangle(a, h, c);
      if (g < 0) {
        triangle(h, b, c);
      } else {
        triangle(h, b, g);
        triangle(h, g, c);
      }
    }
    const auto note = [&](const Key &a, const Key &b, int i, int j) {
      sides[b < a ? std::pair(b, a) : std::pair(a, b)].push_back({f.normal, f.board, {i, j}});
    };
    for (std::size_t k = 0; k < 3; ++k) {
      const int from = f.corners[k], to = f.corners[(k + 1) % 3];
      const int first = at[k], last = at[(k + 1) % 3];
      if (half[k] < 0) {
        note(key_of(from), key_of(to), first, last);
      } else {
        note(key_of(from), key_of(edge_of(from, to)), first, half[k]);
        note(key_of(edge_of(from, to)), key_of(to), half[k], last);
      }
    }
  }
  out.lines = shown_lines(sides);
  return out;
}

}  // namespace stillbox
