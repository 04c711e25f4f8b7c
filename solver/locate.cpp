// SPDX-License-Identifier: MIT
#include "solver/locate.h"

#include <cmath>

#include "solver/tetrahedra.h"

namespace stillbox {

Locator::Locator(const HexMesh &mesh, const Discretisation &discretisation, int board) : d(discretisation) {
  const int n = d.degree + 1;
  for (std::size_t cell = 0; cell < mesh.cells.size(); ++cell) {
    if (mesh.cells[cell].board != board && mesh.cells[cell].mate != board) continue;
    Box box{int(cell), Eigen::Vector3d::Constant(1e300), Eigen::Vector3d::Constant(-1e300), true, {}, {}};
    for (int node : d.cells[cell]) {
      const Eigen::Vector3d x = d.points.row(node);
      box.low = box.low.cwiseMin(x);
      box.high = box.high.cwiseMax(x);
    }
    const Eigen::Vector3d extent = box.high - box.low;
    box.brick = d.shape == CellShape::hexahedron;
    const double tolerance = 1e-9 * extent.maxCoeff();
    const Eigen::Vector3d first = d.points.row(d.cells[cell][0]);
    for (int a = 0; a < 3 && box.brick; ++a) {
      const Eigen::Vector3d edge = d.points.row(d.cells[cell][(n - 1) * (a == 0   ? 1
                                                                         : a == 1 ? n
                                                                                  : n * n)])
                                       .transpose() -
                                   first;
      edge.cwiseAbs().maxCoeff(&box.axis[a]);
      box.flipped[a] = edge[box.axis[a]] < 0;
    }
    // A brick has every node where its knots put it.
    for (int k = 0; k < n && box.brick; ++k)
      for (int j = 0; j < n && box.brick; ++j)
        for (int i = 0; i < n && box.brick; ++i) {
          const int at[3] = {i, j, k};
          Eigen::Vector3d expected = first;
          for (int a = 0; a < 3; ++a)
            expected[box.axis[a]] += (box.flipped[a] ? -1 : 1) * d.knots[at[a]] * extent[box.axis[a]];
          const Eigen::Vector3d have = d.points.row(d.cells[cell][i + n * (j + n * k)]);
          box.brick = (have - expected).cwiseAbs().maxCoeff() <= tolerance;
        }
    // A curved cell bulges beyond its nodes; `find` looks closer.
    const double bulge = d.shape == CellShape::tetrahedron ? 0.02 : box.brick ? 1e-6 : 5e-3;
    const double margin = bulge * extent.maxCoeff();
    box.low.array() -= margin;
    box.high.array() += margin;
    boxes.push_back(box);
  }
}

namespace {

// The same in a tetrahedron.
std::optional<Eigen::Vector3d> invert_tetrahedron(const Discretisation &d, int cell, const Eigen::Vector3d &x) {
  const std::vector<int> &nodes = d.cells[cell];
  Eigen::Matrix<double, 3, Eigen::Dynamic> places(3, nodes.size());
  for (std::size_t a = 0; a < nodes.size(); ++a) places.col(a) = d.points.row(nodes[a]).transpose();
  const Eigen::Matrix<double, 3, Eigen::Dynamic> of_monomials = places * d.basis.transpose();
  Eigen::Vector3d xi(0.25, 0.25, 0.25);
  for (int step = 0; step < 25; ++step) {
    const Eigen::Vector3d residual = of_monomials * monomials(d.degree, xi) - x;
    const Eigen::Matrix3d jacobian = of_monomials * monomial_slopes(d.degree, xi);
    const Eigen::Vector3d change = jacobian.inverse() * residual;
    xi -= change;
    if (!xi.allFinite() || xi.cwiseAbs().maxCoeff() > 10) return std::nullopt;
    if (change.cwiseAbs().maxCoeff() < 1e-11) return xi;
  }
  return std::nullopt;
}

// Newton's iteration for x(xi) = x.
std::optional<Eigen::Vector3d> invert(const Discretisation &d, int cell, const Eigen::Vector3d &x) {
  const std::vector<int> &nodes = d.cells[cell];
  const int n = d.degree + 1;
  Eigen::Vector3d xi(0.5, 0.5, 0.5);
  for (int step = 0; step < 25; ++step) {
    std::array<Eigen::VectorXd, 3> v, s;
    for (int a = 0; a < 3; ++a) {
      v[a] = lagrange_values(d.knots, xi[a]);
      s[a] = lagrange_slopes(d.knots, xi[a]);
    }
    Eigen::Vector3d residual = -x;
    Eigen::Matrix3d jacobian = Eigen::Matrix3d::Zero();
    for (int k = 0; k < n; ++k)
      for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) {
          const Eigen::Vector3d p = d.points.row(nodes[i + n * (j + n * k)]);
          residual += v[0][i] * v[1][j] * v[2][k] * p;
          jacobian.col(0) += s[0][i] * v[1][j] * v[2][k] * p;
          jacobian.col(1) += v[0][i] * s[1][j] * v[2][k] * p;
          jacobian.col(2) += v[0][i] * v[1][j] * s[2][k] * p;
        }
    const Eigen::Vector3d change = jacobian.partialPivLu().solve(residual);
    xi -= change;
    if (!xi.allFinite() || xi.cwiseAbs().maxCoeff() > 10) return std::nullopt;
    if (change.cwiseAbs().maxCoeff() < 1e-11) return xi;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Located> Locator::find(const Eigen::Vector3d &x, double tolerance) const {
  for (const Box &box : boxes) {
    if ((x.array() < box.low.array()).any() || (x.array() > box.high.array()).any()) continue;
    Located located{box.cell, {}};
    if (box.brick) {
      for (int a = 0; a < 3; ++a) {
        const int axis = box.axis[a];
        const double t = (x[axis] - box.low[axis]) / (box.high[axis] - box.low[axis]);
        located.xi[a] = box.flipped[a] ? 1 - t : t;
      }
    } else if (d.shape == CellShape::tetrahedron) {
      const auto xi = invert_tetrahedron(d, box.cell, x);
      if (!xi || xi->minCoeff() < -tolerance || xi->sum() > 1 + tolerance) continue;
      located.xi = xi->cwiseMax(0);
      if (located.xi.sum() > 1) located.xi /= located.xi.sum();
      return located;
    } else {
      const auto xi = invert(d, box.cell, x);
      if (!xi || xi->minCoeff() < -tolerance || xi->maxCoeff() > 1 + tolerance) continue;
      located.xi = *xi;
    }
    located.xi = located.xi.cwiseMax(0).cwiseMin(1);
    return located;
  }
  return std::nullopt;
}

}  // namespace stillbox
