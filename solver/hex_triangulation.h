// SPDX-License-Identifier: MIT
#pragma once
#include <deal.II/grid/grid_tools.h>
#include <deal.II/grid/tria.h>

#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

// Internal to the sources that use deal.II.

/// The cells of a mesh, in its order; their vertices in the order that neighbours agree on, always the same for one
/// mesh. Errors: dealii::ExceptionBase when they are no valid mesh.
inline void make_triangulation(const HexMesh &mesh, dealii::Triangulation<3> &triangulation) {
  std::vector<dealii::Point<3>> vertices;
  for (const auto &x : mesh.nodes) vertices.emplace_back(x[0], x[1], x[2]);
  std::vector<dealii::CellData<3>> cells(mesh.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c)
    for (int i = 0; i < 8; ++i) cells[c].vertices[i] = mesh.cells[c].nodes[i];
  dealii::GridTools::consistently_order_cells(cells);
  triangulation.create_triangulation(vertices, cells, dealii::SubCellData());
}

}  // namespace stillbox
