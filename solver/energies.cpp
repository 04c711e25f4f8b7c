// SPDX-License-Identifier: MIT
#include "solver/energies.h"

#include <fmt/format.h>

#include <cmath>

namespace stillbox {
namespace {

struct Stretch {
  int group;
  Eigen::Vector3d normal;
};

// The stretches that apply to a cell: it lies within the slab of a board of the group.
std::vector<Stretch> stretches_of(const Model &m, const std::vector<ThicknessGroup> &groups, int cell) {
  const Structure &s = *m.structure;
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  for (int node : m.discretisation.cells[cell]) centre += m.discretisation.points.row(node).transpose();
  centre /= double(m.discretisation.cells[cell].size());
  std::vector<Stretch> list;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    std::array<bool, 3> done{};  // two boards of a group in one plane stretch a cell once
    for (int b : groups[g].boards) {
      const Board &board = s.boards[b];
      const double n = board.coordinates_of(centre).z();
      if (n < 0 || n > board.thickness()) continue;
      if (board.bend || !is_axis_aligned_box(board)) {
        if (m.mesh.cells[cell].board == b) list.push_back({int(g), board.axes_at(centre).col(2)});
        continue;
      }
      const int axis = axis_of(board.normal());
      if (done[axis]) continue;
      done[axis] = true;
      list.push_back({int(g), board.normal()});
    }
  }
  return list;
}

}  // namespace

std::vector<ThicknessGroup> thickness_groups(const Structure &s) {
  std::vector<ThicknessGroup> groups;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    const std::string name =
        fmt::format("thickness of {:.4g} mm {}", 1e3 * board.thickness(), s.materials[board.layers[0].material].name);
    std::size_t g = 0;
    while (g < groups.size() && groups[g].name != name) ++g;
    if (g == groups.size()) groups.push_back({name, board.thickness(), 0, {}});
    groups[g].tolerance = std::max(groups[g].tolerance, board.thickness_tolerance);
    groups[g].boards.push_back(int(b));
  }
  return groups;
}

Eigen::MatrixXd cell_values(const Model &m, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes,
                            int cell) {
  const std::vector<int> &nodes = m.discretisation.cells[cell];
  Eigen::MatrixXd values(nodes.size(), 3 * shapes.size());
  for (std::size_t i = 0; i < shapes.size(); ++i)
    for (std::size_t a = 0; a < nodes.size(); ++a) values.block<1, 3>(a, 3 * i) = shapes[i].row(nodes[a]);
  return values;
}

Eigen::Matrix<double, 6, 1> voigt_strain(const Eigen::Matrix3d &H) {
  Eigen::Matrix<double, 6, 1> e;
  e << H(0, 0), H(1, 1), H(2, 2), H(1, 2) + H(2, 1), H(0, 2) + H(2, 0), H(0, 1) + H(1, 0);
  return e;
}

Energies modal_energies(const Model &m, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes,
                        const Eigen::VectorXd &lambda, const std::vector<ThicknessGroup> &groups) {
  const int modes = int(shapes.size()), layers = int(m.laws.layers.size());
  Energies e;
  e.strain = Eigen::MatrixXd::Zero(layers, modes);
  e.kinetic = Eigen::MatrixXd::Zero(layers, modes);
  e.stretch = Eigen::MatrixXd::Zero(groups.size(), modes);
  if (modes == 0) return e;
  const ReferenceCell reference = make_reference_cell(m.discretisation, m.discretisation.degree + 1);
  for_each_cell(m.discretisation, reference, [&](int cell, const CellGeometry &g) {
    const HexCell &hex = m.mesh.cells[cell];
    const Eigen::MatrixXd nodal = cell_values(m, shapes, cell);
    const Eigen::MatrixXd u = reference.values * nodal;
    std::array<Eigen::MatrixXd, 3> slope;
    for (int k = 0; k < 3; ++k) slope[k] = g.gradient[k] * nodal;
    const Eigen::VectorXd share = first_share(*m.structure, hex, g);
    const std::vector<Stretch> stretches = stretches_of(m, groups, cell);
    const int parts[2] = {m.laws.layer_of[hex.board][hex.layer],
                          hex.mate < 0 ? -1 : m.laws.layer_of[hex.mate][hex.mate_layer]};
    for (int part = 0; part < 2; ++part) {
      if (parts[part] < 0) continue;
      const LayerLaw &law = m.laws.layers[parts[part]];
      for (int q = 0; q < g.weights.size(); ++q) {
        const double w = g.weights[q] * (part == 0 ? share[q] : 1 - share[q]);
        if (w == 0) continue;
        for (int i = 0; i < modes; ++i) {
          Eigen::Matrix3d H;
          for (int k = 0; k < 3; ++k) H.col(k) = slope[k].block<1, 3>(q, 3 * i).transpose();
          const Eigen::Matrix<double, 6, 1> strain = voigt_strain(H), stress = law.law * strain;
          const double density = stress.dot(strain);
          const double motion = law.density * u.block<1, 3>(q, 3 * i).squaredNorm();
          e.strain(parts[part], i) += w * density;
          e.kinetic(parts[part], i) += w * motion;
          for (const Stretch &s : stretches) {
            Eigen::Matrix3d sigma;
            sigma << stress[0], stress[5], stress[4], stress[5], stress[1], stress[3], stress[4], stress[3], stress[2];
            e.stretch(s.group, i) += w * (density - 2 * (sigma * s.normal).dot(H * s.normal) - lambda[i] * motion);
          }
        }
      }
    }
  });
  return e;
}

}  // namespace stillbox
