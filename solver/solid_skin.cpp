// SPDX-License-Identifier: MIT
#include "solver/solid_skin.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "mesh/solids.h"
#include "solver/tetrahedra.h"

namespace stillbox {
namespace {

constexpr double close = 1e-6;  // m

using Corners = std::vector<int>;

bool is_on_outer_face(const Board &board, const Eigen::Vector3d &x) {
  return std::abs(board.coordinates_of(x).z() - board.thickness()) < close;
}

using IsRim = std::function<bool(const SkinFace &, const Corners &)>;

struct Cells {
  const std::vector<std::vector<int>> &nodes;
  const std::vector<int> &board;
  const Eigen::Matrix<double, Eigen::Dynamic, 3> &points;
  bool tetrahedra;
  int degree;
};

std::vector<SkinFace> skin_of(const Structure &s, const Cells &cells, const IsRim &is_rim) {
  const auto &points = cells.points;
  std::map<Corners, std::pair<SkinFace, int>> faces;  // how often
  for (int cell = 0; cell < int(cells.nodes.size()); ++cell)
    for (int f = 0; f < (cells.tetrahedra ? 4 : 6); ++f) {
      Corners key = skin_corners(cells.nodes[std::size_t(cell)], cells.tetrahedra, cells.degree, f);
      std::sort(key.begin(), key.end());
      const SkinFace face{cell, f, SkinPart::inside, cells.board[std::size_t(cell)]};
      ++faces.try_emplace(key, face, 0).first->second.second;
    }
  const std::vector<int> boards = outside_boards(s);
  std::vector<SkinFace> skin;
  for (const auto &[key, entry] : faces) {
    if (entry.second != 1) continue;
    skin.push_back(entry.first);
    SkinFace &face = skin.back();
    const auto all = [&corners = key, &points](const auto &is_on) {
      return std::all_of(corners.begin(), corners.end(),
                         [&](int node) { return is_on(Eigen::Vector3d(points.row(node).transpose())); });
    };
    // The cell's own board first.
    const int own = face.board;
    const bool free = s.boards[std::size_t(boards.empty() ? own : boards.front())].role == BoardRole::free;
    int found = -1;
    for (const int b : boards) {
      if ((found >= 0 && b != own) || (free && b != own)) continue;
      if (all([&](const Eigen::Vector3d &x) { return is_on_outer_face(s.boards[std::size_t(b)], x); })) found = b;
    }
    if (found >= 0) {
      face.part = SkinPart::outside;
      face.board = found;
      continue;
    }
    if (is_rim(face, key)) {
      face.part = SkinPart::rim;
      continue;
    }
    for (const auto &plane : s.solids->outer_planes)
      if (all([&](const Eigen::Vector3d &x) { return std::abs((x - plane.first).dot(plane.second)) < close; }))
        face.part = SkinPart::outside;
  }
  return skin;
}

}  // namespace

std::vector<int> outside_boards(const Structure &s) {
  std::vector<int> walls, free;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    if (s.boards[b].role == BoardRole::wall) walls.push_back(int(b));
    if (s.boards[b].role == BoardRole::free) free.push_back(int(b));
  }
  return walls.empty() ? free : walls;
}

std::vector<int> skin_corners(const std::vector<int> &cell, bool tetrahedra, int degree, int face) {
  std::vector<int> corners;
  if (tetrahedra) {
    for (int c = 0; c < 4; ++c)
      if (c != face) corners.push_back(cell[std::size_t(c)]);
    return corners;
  }
  const int n = degree + 1, steps[3] = {1, n, n * n}, direction = face / 2;
  const int u = degree * steps[(direction + 1) % 3], v = degree * steps[(direction + 2) % 3];
  const int first = face % 2 ? degree * steps[direction] : 0;
  for (const int at : {first, first + u, first + u + v, first + v}) corners.push_back(cell[std::size_t(at)]);
  return corners;
}

std::vector<SkinFace> solid_skin(const Model &m) {
  const Structure &s = *m.structure;
  const Discretisation &d = m.discretisation;
  std::set<std::pair<int, int>> rims;
  for (const auto &rim : d.rims)
    if (s.boards[std::size_t(rim.board)].role == BoardRole::wall) rims.insert(rim.faces.begin(), rim.faces.end());
  std::vector<int> cell_board;
  for (const HexCell &cell : m.mesh.cells) cell_board.push_back(cell.board);
  const Cells cells{d.cells, cell_board, d.points, d.shape == CellShape::tetrahedron, d.degree};
  return skin_of(s, cells, [&](const SkinFace &face, const Corners &) {
    return rims.count({face.cell, face.face}) > 0;
  });
}

std::vector<SkinFace> solid_skin(const Structure &s, const ModalField &field) {
  const Cells cells{field.cells, field.cell_board, field.points, field.tetrahedron.rows() > 0, field.degree};
  return skin_of(s, cells, [&](const SkinFace &face, const Corners &corners) {
    const Board &board = s.boards[std::size_t(face.board)];
    if (board.role != BoardRole::wall) return false;
    return std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
      return std::all_of(corners.begin(), corners.end(),
                         [&](int node) { return is_on_rim(board, c, field.points.row(node).transpose()); });
    });
  });
}

}  // namespace stillbox
