// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>

#include <map>
#include <numeric>

#include "mesh/hex_mesh.h"
#include "solver/cell_laws.h"
#include "solver/discretisation.h"

// What a mesh is like, and what it ought to be like by the description alone.

namespace stillbox {

struct Facts {
  std::vector<double> volume;  ///< per board
  std::vector<double> mass;    ///< per board
  double surface = 0;          ///< area of the faces of one cell only
  int most_at_face = 0;        ///< cells that share one face
  int parts = 0;               ///< pieces that hang together by nodes
  double least_jacobian = 1, least_weight = 1;
  std::size_t cells = 0;
};

inline Facts facts_of(const Structure &s, const MeshOptions &options) {
  const HexMesh mesh = make_hex_mesh(s, options);
  const Discretisation d = discretise(mesh, options.degree);
  Facts facts;
  facts.cells = d.cells.size();
  facts.volume.assign(s.boards.size(), 0);
  facts.mass.assign(s.boards.size(), 0);
  std::map<std::vector<int>, std::vector<std::pair<int, int>>> cells_at;  // corner nodes -> (cell, face)
  std::vector<int> parent(d.points.rows());
  std::iota(parent.begin(), parent.end(), 0);
  const auto root = [&](int i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
  };
  const ReferenceCell reference = make_reference_cell(d, d.degree + 1);
  CellGeometry g;
  const int p = d.degree, n = p + 1;
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    cell_geometry(d, reference, int(c), g);
    facts.least_jacobian = std::min(facts.least_jacobian, g.least_scaled_jacobian);
    facts.least_weight = std::min(facts.least_weight, g.weights.minCoeff());
    const Eigen::VectorXd share = first_share(s, mesh.cells[c], g);
    const HexCell &cell = mesh.cells[c];
    const auto add = [&](int board, int layer, double volume) {
      facts.volume[board] += volume;
      facts.mass[board] += volume * s.materials[s.boards[board].layers[layer].material].density;
    };
    add(cell.board, cell.layer, share.dot(g.weights));
    if (cell.mate >= 0) add(cell.mate, cell.mate_layer, g.weights.sum() - share.dot(g.weights));
    for (int node : d.cells[c]) parent[root(node)] = root(d.cells[c][0]);
    for (int face = 0; face < 6; ++face) {
      std::vector<int> corners;
      for (int corner = 0; corner < 8; ++corner) {
        const int at[3] = {corner & 1 ? p : 0, corner & 2 ? p : 0, corner & 4 ? p : 0};
        if (at[face / 2] == (face % 2 ? p : 0)) corners.push_back(d.cells[c][at[0] + n * (at[1] + n * at[2])]);
      }
      std::sort(corners.begin(), corners.end());
      cells_at[corners].emplace_back(int(c), face);
    }
  }
  for (const auto &[corners, cells] : cells_at) {
    facts.most_at_face = std::max(facts.most_at_face, int(cells.size()));
    if (cells.size() == 1)
      facts.surface += face_geometry(d, cells[0].first, cells[0].second, n).area.rowwise().norm().sum();
  }
  for (int i = 0; i < int(parent.size()); ++i) facts.parts += root(i) == i;
  return facts;
}

inline double rim_length(const CutOut &c) {
  const double across = std::min(c.width, c.height), along = std::max(c.width, c.height);
  switch (c.shape) {
    case CutOutShape::round:
      return M_PI * c.width;
    case CutOutShape::slot:
      return M_PI * across + 2 * (along - across);
    default:
      return 2 * (c.width + c.height);
  }
}

/// Thickness of the sheets that a cut-out goes through besides its board.
inline double sheets_over(const Structure &s, int carrier, const CutOut &c) {
  double sum = 0;
  for (const Board &sheet : s.boards) {
    if (sheet.attached_to != carrier) continue;
    const auto [low, high] = world_bounds(sheet);
    const Eigen::Vector3d at = s.boards[carrier].at(c.centre.x(), c.centre.y(), 0), n = sheet.normal().cwiseAbs();
    const Eigen::Array3d inside = (at - low).cwiseMin(high - at).array() * (1 - n.array());
    if (inside.minCoeff() >= 0) sum += sheet.thickness();
  }
  return sum;
}

/// Whether a sheet's edge lies on the face between two grid blocks of different boards: it touches but is not glued.
inline bool is_loose_edge(const Structure &s, int first, int second, int axis) {
  if (first == second) return false;
  for (int b : {first, second})
    if (s.boards[b].role == BoardRole::sheet && axis != axis_of(s.boards[b].normal())) return true;
  return false;
}

/// Outer and inner surface of everything glued together: faces of grid blocks between wood and air, and twice those
/// where the edge of a sheet touches something, cut-outs taken out. A face left loose by mistake, or a cell that does
/// not fit its neighbour, adds to the mesh's surface.
inline double expected_surface(const Structure &s) {
  const Grid grid = make_grid(s);
  double area = 0;
  for (int axis = 0; axis < 3; ++axis)
    for (int k = -1; k <= grid.blocks()[2]; ++k)
      for (int j = -1; j <= grid.blocks()[1]; ++j)
        for (int i = -1; i <= grid.blocks()[0]; ++i) {
          const std::array<int, 3> block{i, j, k};
          std::array<int, 3> next = block;
          ++next[axis];
          const bool wood = grid.owner(block).board >= 0, beyond = grid.owner(next).board >= 0;
          const bool loose = wood && beyond && is_loose_edge(s, grid.owner(block).board, grid.owner(next).board, axis);
          if (wood == beyond && !loose) continue;
          const std::array<int, 3> &solid = wood ? block : next;
          area += (loose ? 2 : 1) * grid.extent((axis + 1) % 3, solid[(axis + 1) % 3]) *
                  grid.extent((axis + 2) % 3, solid[(axis + 2) % 3]);
        }
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    for (const CutOut &c : s.boards[b].cut_outs)
      if (!cut_by_grid(s, int(b), c))
        area += rim_length(c) * (s.boards[b].thickness() + sheets_over(s, int(b), c)) - 2 * cut_out_area(c);
  return area;
}

inline void expect_good_mesh(const Structure &s, const MeshOptions &options, int parts = 1,
                             double least_jacobian = 0.05) {
  const Facts facts = facts_of(s, options);
  EXPECT_GT(facts.least_weight, 0);
  EXPECT_GT(facts.least_jacobian, least_jacobian);
  EXPECT_EQ(facts.most_at_face, 2);
  EXPECT_EQ(facts.parts, parts);
  const Volumes described = volumes_of(s);
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    EXPECT_NEAR(facts.volume[b] / described.board[b], 1, 1e-4) << s.boards[b].name;
    EXPECT_NEAR(facts.mass[b] / described.board_mass[b], 1, 1e-4) << s.boards[b].name;
  }
  if (parts == 1) {
    EXPECT_NEAR(facts.surface / expected_surface(s), 1, 1e-4);
  }
}

inline MeshOptions coarse(double up_to = 1000, int degree = 2) {
  MeshOptions options;
  options.up_to = up_to;
  options.degree = degree;
  return options;
}

}  // namespace stillbox
