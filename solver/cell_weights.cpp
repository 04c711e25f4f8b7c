// SPDX-License-Identifier: MIT
#include "solver/cell_weights.h"

namespace stillbox {

void add_cell_weights(const Model &m, int cell, const Eigen::VectorXd &weights, int column, WeightList &out) {
  const CellUnknowns c = cell_unknowns(m.unknowns, m.discretisation, cell);
  if (c.plain) {
    for (int i = 0; i < weights.size(); ++i) out.emplace_back(c.list[c.position[i]], column, weights[i]);
    return;
  }
  const Eigen::VectorXd on_list = c.T.transpose() * weights;
  for (int i = 0; i < on_list.size(); ++i)
    if (on_list[i] != 0) out.emplace_back(c.list[i], column, on_list[i]);
}

std::array<Eigen::Vector3d, 4> face_corners(const Discretisation &d, int cell, int face) {
  const int n = d.degree + 1, fixed = face / 2, p = (fixed + 1) % 3, q = (fixed + 2) % 3;
  std::array<Eigen::Vector3d, 4> corners;
  std::array<int, 3> at{};
  at[fixed] = face % 2 ? n - 1 : 0;
  for (int corner = 0; corner < 4; ++corner) {
    at[p] = corner & 1 ? n - 1 : 0;
    at[q] = corner & 2 ? n - 1 : 0;
    corners[corner] = d.points.row(d.cells[cell][at[0] + n * (at[1] + n * at[2])]);
  }
  return corners;
}

SampleColumns columns_from(const Model &m, int count, const WeightList &triplets) {
  SampleColumns columns(m.unknowns.count, count);
  columns.setFromTriplets(triplets.begin(), triplets.end());
  return columns;
}

}  // namespace stillbox
