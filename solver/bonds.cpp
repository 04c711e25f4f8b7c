// SPDX-License-Identifier: MIT
#include "solver/bonds.h"

#include <cassert>

namespace stillbox {
namespace {

constexpr double same_place = 1e-7;  // m

// Places of a cell's nodes on one of its faces.
std::vector<int> places_on_face(const Discretisation &d, int face) {
  const int n = d.degree + 1;
  std::vector<int> places;
  for (int k = 0; k < n; ++k)
    for (int j = 0; j < n; ++j)
      for (int i = 0; i < n; ++i) {
        const int at[3] = {i, j, k};
        if (at[face / 2] == (face % 2 ? d.degree : 0)) places.push_back(i + n * (j + n * k));
      }
  return places;
}

// The local face of a cell whose corners lie at the given mesh nodes. Found by place: a cell may be turned on its way
// from the mesh to the discretisation.
int face_at(const HexMesh &mesh, const Discretisation &d, int cell, const std::array<int, 4> &corners) {
  const int p = d.degree, n = p + 1;
  for (int face = 0; face < 6; ++face) {
    int matched = 0;
    for (int corner = 0; corner < 8; ++corner) {
      const int at[3] = {corner & 1 ? p : 0, corner & 2 ? p : 0, corner & 4 ? p : 0};
      if (at[face / 2] != (face % 2 ? p : 0)) continue;
      const Eigen::Vector3d x = d.points.row(d.cells[cell][at[0] + n * (at[1] + n * at[2])]).transpose();
      for (int node : corners) matched += (mesh.nodes[node] - x).norm() < same_place;
    }
    if (matched == 4) return face;
  }
  assert(false);
  return 0;
}

int node_at(const Discretisation &d, int cell, const std::vector<int> &places, int like) {
  for (int place : places) {
    const int node = d.cells[cell][place];
    if ((d.points.row(node) - d.points.row(like)).norm() < same_place) return node;
  }
  throw SolveError("the nodes on the two sides of a bond do not match; try another fineness");
}

// As cell_unknowns, for any list of nodes; a node that both sides share appears twice in it.
CellUnknowns face_pair_unknowns(const Unknowns &unknowns, const Discretisation &pairs, int which) {
  CellUnknowns c = cell_unknowns(unknowns, pairs, which);
  if (!c.plain || c.list.size() == c.position.size()) return c;
  c.plain = false;
  c.T.resize(Eigen::Index(c.position.size()), Eigen::Index(c.list.size()));
  for (std::size_t i = 0; i < c.position.size(); ++i) c.T.insert(Eigen::Index(i), c.position[i]) = 1;
  return c;
}

// k_n n n' + k_s (1 - n n') times the integral of N_a N_b, for the jump from the first face to the second.
Eigen::MatrixXd spring_stiffness(const FaceGeometry &g, const std::vector<int> &places, double normal, double shear) {
  const int m = int(places.size());
  Eigen::MatrixXd values(g.values.rows(), m);
  for (int a = 0; a < m; ++a) values.col(a) = g.values.col(places[a]);
  const Eigen::VectorXd weights = g.area.rowwise().norm();
  const Eigen::MatrixXd overlap = values.transpose() * weights.asDiagonal() * values;
  const Eigen::Vector3d n = g.area.colwise().sum().transpose().normalized();
  const Eigen::Matrix3d k = shear * Eigen::Matrix3d::Identity() + (normal - shear) * n * n.transpose();
  Eigen::MatrixXd K(6 * m, 6 * m);
  for (int a = 0; a < m; ++a)
    for (int b = 0; b < m; ++b) {
      const Eigen::Matrix3d part = overlap(a, b) * k;
      K.block<3, 3>(3 * a, 3 * b) = K.block<3, 3>(3 * (m + a), 3 * (m + b)) = part;
      K.block<3, 3>(3 * a, 3 * (m + b)) = K.block<3, 3>(3 * (m + a), 3 * b) = -part;
    }
  return K;
}

}  // namespace

std::vector<BondCell> bond_cells(const Structure &s, const HexMesh &mesh, const Discretisation &d,
                                 const Unknowns &unknowns) {
  std::vector<BondCell> cells;
  if (mesh.bond_faces.empty()) return cells;
  Discretisation pairs;  // the pairs of faces as if they were cells
  pairs.degree = d.degree;
  pairs.points = d.points;
  for (const BondFace &face : mesh.bond_faces) {
    BondCell cell;
    cell.bond = face.bond;
    const int side_a = face_at(mesh, d, face.cell_a, face.nodes_a),
              side_b = face_at(mesh, d, face.cell_b, face.nodes_b);
    const std::vector<int> on_a = places_on_face(d, side_a), on_b = places_on_face(d, side_b);
    for (int place : on_a) cell.nodes.push_back(d.cells[face.cell_a][place]);
    for (std::size_t i = 0; i < on_a.size(); ++i) cell.nodes.push_back(node_at(d, face.cell_b, on_b, cell.nodes[i]));
    const Bond &bond = s.bonds[face.bond];
    cell.stiffness = spring_stiffness(face_geometry(d, face.cell_a, side_a, d.degree + 1), on_a,
                                      bond.normal / face.width, bond.shear / face.width);
    pairs.cells.push_back(cell.nodes);
    cells.push_back(std::move(cell));
  }
  for (std::size_t i = 0; i < cells.size(); ++i) cells[i].unknowns = face_pair_unknowns(unknowns, pairs, int(i));
  return cells;
}

Eigen::MatrixXd bond_energies(const Structure &s, const std::vector<BondCell> &cells,
                              const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes) {
  Eigen::MatrixXd energies = Eigen::MatrixXd::Zero(s.bonds.size(), shapes.size());
  for (const BondCell &cell : cells)
    for (std::size_t i = 0; i < shapes.size(); ++i) {
      Eigen::VectorXd u(3 * cell.nodes.size());
      for (std::size_t a = 0; a < cell.nodes.size(); ++a)
        u.segment<3>(3 * a) = shapes[i].row(cell.nodes[a]).transpose();
      energies(cell.bond, i) += u.dot(cell.stiffness * u);
    }
  return energies;
}

}  // namespace stillbox
