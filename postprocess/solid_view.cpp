// SPDX-License-Identifier: MIT
#include <functional>

#include "postprocess/view_parts.h"
#include "solver/discretisation.h"
#include "solver/solid_skin.h"
#include "solver/tetrahedra.h"

namespace stillbox {
namespace {

using Key = std::array<int, 3>;  // of a place: a corner, the middle of an edge

Key key_of(int node) { return {0, node, 0}; }
Key key_of(const Edge &edge) { return {1, edge.first, edge.second}; }

Eigen::Vector3d middle_of_cell(const ModalField &field, const std::vector<int> &nodes) {
  const std::size_t corners = field.tetrahedron.rows() > 0 ? 4 : nodes.size();
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < corners; ++i) sum += field.points.row(nodes[i]).transpose() / double(corners);
  return sum;
}

}  // namespace

FaceMiddles::FaceMiddles(const ModalField &f) : field(f) {
  if (!is_tetrahedral()) {
    half = lagrange_values(field.knots, 0.5);
    return;
  }
  basis = tetrahedron_basis(field.degree, field.tetrahedron);
}

void FaceMiddles::add(int cell, int face, std::map<Edge, NodeSum> &middles) const {
  const std::vector<int> &nodes = field.cells[std::size_t(cell)];
  const auto put = [&](int a, int b, const std::function<double(int)> &weight) {
    NodeSum &place = middles[edge_of(a, b)];
    if (!place.nodes.empty()) return;
    for (int i = 0; i < int(nodes.size()); ++i)
      if (const double w = weight(i); std::abs(w) > 1e-9) place.nodes.emplace_back(nodes[std::size_t(i)], w);
  };
  if (is_tetrahedral()) {
    for (int a = 0; a < 4; ++a)
      for (int b = 0; b < a; ++b) {
        if (a == face || b == face) continue;
        const Eigen::Vector3d xi = (field.tetrahedron.row(a) + field.tetrahedron.row(b)).transpose() / 2;
        const Eigen::VectorXd weights = basis.transpose() * monomials(field.degree, xi);
        put(nodes[std::size_t(a)], nodes[std::size_t(b)], [&](int i) { return weights[i]; });
      }
    return;
  }
  const int n = field.degree + 1, direction = face / 2, u = (direction + 1) % 3, v = (direction + 2) % 3;
  const std::vector<int> k = skin_corners(nodes, false, field.degree, face);
  // `at`: -1 the middle, else the low (0) or high (1) end, along the face's two directions.
  const auto add = [&](int a, int b, int at_u, int at_v) {
    put(a, b, [&](int i) {
      const std::array<int, 3> index{i % n, i / n % n, i / n / n};
      const auto share = [&](int axis, int at) {
        const int place = index[std::size_t(axis)];
        return at < 0 ? half[place] : place == at * field.degree ? 1.0 : 0.0;
      };
      return share(direction, face % 2) * share(u, at_u) * share(v, at_v);
    });
  };
  add(k[0], k[1], -1, 0);
  add(k[1], k[2], 1, -1);
  add(k[2], k[3], -1, 1);
  add(k[3], k[0], 0, -1);
  add(k[0], k[2], -1, -1);
}

std::vector<std::array<int, 3>> face_triangles(const ModalField &field, int cell, int face) {
  const bool tetrahedra = field.tetrahedron.rows() > 0;
  const std::vector<int> k = skin_corners(field.cells[std::size_t(cell)], tetrahedra, field.degree, face);
  if (tetrahedra) return {{k[0], k[1], k[2]}};
  return {{k[0], k[1], k[2]}, {k[0], k[2], k[3]}};
}

SolidView::SolidView(const Structure &s, const ModalField &f) : structure(s), field(f) {
  const FaceMiddles add_middles(field);
  const auto point = [&](int node) -> Eigen::Vector3d { return field.points.row(node); };
  for (const SkinFace &skin : solid_skin(structure, field)) {
    const int board = field.cell_board[std::size_t(skin.cell)];
    const bool is_wall = structure.boards[std::size_t(board)].role == BoardRole::wall;
    if (is_wall && skin.part == SkinPart::inside) continue;
    const std::vector<int> &nodes = field.cells[std::size_t(skin.cell)];
    const Eigen::Vector3d within = middle_of_cell(field, nodes);
    add_middles.add(skin.cell, skin.face, middles);
    for (const std::array<int, 3> &corners : face_triangles(field, skin.cell, skin.face)) {
      SolidFace face{skin.cell, board, corners, {}};
      const Eigen::Vector3d a = point(corners[0]), b = point(corners[1]), c = point(corners[2]);
      face.normal = (b - a).cross(c - a).normalized();
      if (face.normal.dot(within - a) > 0) {
        face.normal = -face.normal;
        std::swap(face.corners[1], face.corners[2]);
      }
      faces.push_back(face);
      for (std::size_t k = 0; k < 3; ++k) {
        const Edge edge = edge_of(corners[k], corners[(k + 1) % 3]);
        const Eigen::Vector3d from = point(edge.first), to = point(edge.second);
        is_round[edge] =
            (sum_of(middles.at(edge), field.points) - (from + to) / 2).norm() > round_edge * (to - from).norm();
      }
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
        out.places.push_back(key[0] == 0 ? NodeSum{{{key[1], 1.0}}} : middles.at({key[1], key[2]}));
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
