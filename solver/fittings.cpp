// SPDX-License-Identifier: MIT
#include "solver/fittings.h"

#include <cmath>
#include <map>

#include "solver/locate.h"

namespace stillbox {
namespace {

struct Adder {
  const std::vector<CellUnknowns> &cells;
  MatrixSink &sink;

  // The same for N'N with N the shape values at one point.
  void spread_at(const Located &p, const Discretisation &d, const Eigen::Vector3d &factor, bool to_mass) {
    const Eigen::VectorXd shape = shape_values(d, p.xi);
    spread(p.cell, shape * shape.transpose(), factor, to_mass);
  }

  // Adds a scalar matrix over the nodes of a cell (nodes x nodes) times a factor per world component, to the mass or
  // the stiffness.
  void spread(int cell, const Eigen::MatrixXd &outer, const Eigen::Vector3d &factor, bool to_mass) {
    const int n = int(outer.rows());
    Eigen::MatrixXd full = Eigen::MatrixXd::Zero(3 * n, 3 * n);
    for (int b = 0; b < n; ++b)
      for (int a = 0; a < n; ++a)
        for (int k = 0; k < 3; ++k) full(3 * a + k, 3 * b + k) = factor[k] * outer(a, b);
    const Eigen::MatrixXd none = Eigen::MatrixXd::Zero(3 * n, 3 * n);
    to_mass ? sink.add(cells[cell], none, full) : sink.add(cells[cell], full, none);
  }
};

Eigen::Vector3d face_point(const Board &board, const Eigen::Vector2d &at, bool on_high_side) {
  return board.at(at.x(), at.y(), on_high_side ? board.thickness() : 0);
}

Located must_find(const Locator &locator, const Eigen::Vector3d &x, const std::string &what) {
  const auto found = locator.find(x);
  if (!found) throw SolveError(what + " lies where there is no wood");
  return *found;
}

void add_rim_mass(const Structure &s, const Discretisation &d, const Unknowns &unknowns, const RimMass &m, int body,
                  Adder &adder) {
  if (m.rigid_basket) {
    const int start = unknowns.block_start[unknowns.body_block[body]];
    const Board &board = s.boards[m.board];
    Eigen::Matrix3d axes;
    axes << board.u, board.v, board.normal();
    const Eigen::Matrix3d inertia = axes * m.inertia.asDiagonal() * axes.transpose();
    for (int i = 0; i < 3; ++i) {
      adder.sink.add_mass(start + i, start + i, m.mass);
      for (int j = 0; j <= i; ++j) adder.sink.add_mass(start + 3 + i, start + 3 + j, inertia(i, j));
    }
    return;
  }
  for (const auto &rim : d.rims) {
    if (rim.board != m.board || rim.cut_out != m.cut_out) continue;
    std::vector<std::pair<int, FaceGeometry>> faces;
    double area = 0;
    for (const auto &[cell, face] : rim.faces) {
      faces.emplace_back(cell, face_geometry(d, cell, face, d.degree + 1));
      area += faces.back().second.area.rowwise().norm().sum();
    }
    for (const auto &[cell, g] : faces) {
      const Eigen::VectorXd weights = g.area.rowwise().norm() * (m.mass / area);
      adder.spread(cell, g.values.transpose() * weights.asDiagonal() * g.values, Eigen::Vector3d::Ones(), true);
    }
    return;
  }
  throw SolveError("the rim of driver \"" + m.name + "\" was not meshed");
}

void add_area_mass(const Structure &s, const HexMesh &mesh, const Discretisation &d, const AreaMass &m, Adder &adder) {
  // Midpoint rule on a raster fine enough to see the cells; points over a cut-out carry nothing and the mass is
  // shared by the rest, so the total is exact.
  const Board &board = s.boards[m.board];
  const Locator locator(mesh, d, m.board);
  constexpr int raster = 24;
  std::vector<Located> points;
  for (int j = 0; j < raster; ++j)
    for (int i = 0; i < raster; ++i) {
      const Eigen::Vector2d part((i + 0.5) / raster, (j + 0.5) / raster);
      const auto found = locator.find(face_point(board, m.low + part.cwiseProduct(m.high - m.low), m.on_high_side));
      if (found) points.push_back(*found);
    }
  if (points.empty()) throw SolveError("mass \"" + m.name + "\" lies where there is no wood");
  // Summed per cell before it is scattered: a cell matrix is large.
  std::map<int, Eigen::MatrixXd> outer;
  for (const Located &p : points) {
    const Eigen::VectorXd shape = shape_values(d, p.xi);
    Eigen::MatrixXd &sum = outer.try_emplace(p.cell, Eigen::MatrixXd::Zero(shape.size(), shape.size())).first->second;
    sum.noalias() += shape * shape.transpose();
  }
  for (const auto &[cell, sum] : outer)
    adder.spread(cell, sum, Eigen::Vector3d::Constant(m.mass / double(points.size())), true);
}

}  // namespace

void add_fittings(const Structure &s, const HexMesh &mesh, const Discretisation &d, const Unknowns &unknowns,
                  const std::vector<CellUnknowns> &cells, MatrixSink &sink, double &total) {
  Adder adder{cells, sink};
  total = 0;
  int body = 0;
  for (const RimMass &m : s.rim_masses) {
    add_rim_mass(s, d, unknowns, m, body, adder);
    body += m.rigid_basket;
    total += m.mass;
  }
  for (const AreaMass &m : s.area_masses) {
    add_area_mass(s, mesh, d, m, adder);
    total += m.mass;
  }
  for (const PointMass &m : s.point_masses) {
    const Located p = must_find(Locator(mesh, d, m.board), face_point(s.boards[m.board], m.at, m.on_high_side),
                                "mass \"" + m.name + "\"");
    adder.spread_at(p, d, Eigen::Vector3d::Constant(m.mass), true);
    total += m.mass;
  }
  for (const Foot &foot : s.feet) {
    const Located p =
        must_find(Locator(mesh, d, foot.board), face_point(s.boards[foot.board], foot.at, foot.on_high_side),
                  "foot \"" + foot.name + "\"");
    adder.spread_at(p, d, foot.stiffness, false);
  }
}

}  // namespace stillbox
