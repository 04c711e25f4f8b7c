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

using Corners = std::array<int, 3>;

bool is_on_outer_face(const Board &board, const Eigen::Vector3d &x) {
  return std::abs(board.coordinates_of(x).z() - board.thickness()) < close;
}

Corners corners_of(const std::vector<int> &cell, int face) {
  Corners corners{};
  for (int k = 0, c = 0; c < 4; ++c)
    if (c != face) corners[std::size_t(k++)] = cell[std::size_t(c)];
  return corners;
}

using IsRim = std::function<bool(const SkinFace &, const Corners &)>;

std::vector<SkinFace> skin_of(const Structure &s, const std::vector<std::vector<int>> &cells,
                              const std::vector<int> &cell_board,
                              const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, const IsRim &is_rim) {
  std::map<Corners, std::pair<SkinFace, int>> faces;  // how often
  for (int cell = 0; cell < int(cells.size()); ++cell)
    for (int f = 0; f < 4; ++f) {
      Corners key = corners_of(cells[std::size_t(cell)], f);
      std::sort(key.begin(), key.end());
      const SkinFace face{cell, f, SkinPart::inside, cell_board[std::size_t(cell)]};
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

std::vector<SkinFace> solid_skin(const Model &m) {
  const Structure &s = *m.structure;
  const Discretisation &d = m.discretisation;
  std::set<std::pair<int, int>> rims;
  for (const auto &rim : d.rims)
    if (s.boards[std::size_t(rim.board)].role == BoardRole::wall) rims.insert(rim.faces.begin(), rim.faces.end());
  std::vector<int> cell_board;
  for (const HexCell &cell : m.mesh.cells) cell_board.push_back(cell.board);
  return skin_of(s, d.cells, cell_board, d.points, [&](const SkinFace &face, const Corners &) {
    return rims.count({face.cell, face.face}) > 0;
  });
}

std::vector<SkinFace> solid_skin(const Structure &s, const std::vector<std::vector<int>> &cells,
                                 const std::vector<int> &cell_board,
                                 const Eigen::Matrix<double, Eigen::Dynamic, 3> &points) {
  return skin_of(s, cells, cell_board, points, [&](const SkinFace &face, const Corners &corners) {
    const Board &board = s.boards[std::size_t(face.board)];
    if (board.role != BoardRole::wall) return false;
    return std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
      return std::all_of(corners.begin(), corners.end(),
                         [&](int node) { return is_on_rim(board, c, points.row(node).transpose()); });
    });
  });
}

}  // namespace stillbox
