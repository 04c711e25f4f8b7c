// SPDX-License-Identifier: MIT
#include <deal.II/base/quadrature_lib.h>

#include <algorithm>

#include "solver/discretisation.h"
#include "solver/tetrahedra.h"

namespace stillbox {

Eigen::VectorXd lagrange_values(const std::vector<double> &knots, double t) {
  const int n = int(knots.size());
  Eigen::VectorXd v(n);
  for (int i = 0; i < n; ++i) {
    double product = 1;
    for (int j = 0; j < n; ++j)
      if (j != i) product *= (t - knots[j]) / (knots[i] - knots[j]);
    v[i] = product;
  }
  return v;
}

Eigen::VectorXd lagrange_slopes(const std::vector<double> &knots, double t) {
  const int n = int(knots.size());
  Eigen::VectorXd s = Eigen::VectorXd::Zero(n);
  for (int i = 0; i < n; ++i)
    for (int m = 0; m < n; ++m) {
      if (m == i) continue;
      double product = 1 / (knots[i] - knots[m]);
      for (int j = 0; j < n; ++j)
        if (j != i && j != m) product *= (t - knots[j]) / (knots[i] - knots[j]);
      s[i] += product;
    }
  return s;
}

namespace {

// Products of three one-dimensional tables, first direction fastest.
Eigen::VectorXd tensor(const Eigen::VectorXd &x, const Eigen::VectorXd &y, const Eigen::VectorXd &z) {
  const int n = int(x.size());
  Eigen::VectorXd v(n * n * n);
  for (int k = 0; k < n; ++k)
    for (int j = 0; j < n; ++j)
      for (int i = 0; i < n; ++i) v[i + n * (j + n * k)] = x[i] * y[j] * z[k];
  return v;
}

Eigen::Matrix<double, Eigen::Dynamic, 3> cell_points(const Discretisation &d, int cell) {
  const std::vector<int> &nodes = d.cells[cell];
  Eigen::Matrix<double, Eigen::Dynamic, 3> x(nodes.size(), 3);
  for (std::size_t i = 0; i < nodes.size(); ++i) x.row(i) = d.points.row(nodes[i]);
  return x;
}

}  // namespace

Eigen::VectorXd shape_values(const Discretisation &d, const Eigen::Vector3d &xi) {
  if (d.shape == CellShape::tetrahedron) return d.basis.transpose() * monomials(d.degree, xi);
  return tensor(lagrange_values(d.knots, xi[0]), lagrange_values(d.knots, xi[1]), lagrange_values(d.knots, xi[2]));
}

ReferenceCell make_reference_cell(const Discretisation &d, int points_per_direction) {
  if (d.shape == CellShape::tetrahedron) return tetrahedron_reference(d, points_per_direction);
  const dealii::QGauss<3> gauss(points_per_direction);
  const int nodes = int(d.knots.size() * d.knots.size() * d.knots.size()), points = int(gauss.size());
  ReferenceCell r;
  r.weights.resize(points);
  r.values.resize(points, nodes);
  r.places.resize(points, 3);
  for (auto &s : r.slopes) s.resize(points, nodes);
  for (int q = 0; q < points; ++q) {
    std::array<Eigen::VectorXd, 3> v, s;
    for (int a = 0; a < 3; ++a) {
      r.places(q, a) = gauss.point(q)[a];
      v[a] = lagrange_values(d.knots, gauss.point(q)[a]);
      s[a] = lagrange_slopes(d.knots, gauss.point(q)[a]);
    }
    r.weights[q] = gauss.weight(q);
    r.values.row(q) = tensor(v[0], v[1], v[2]);
    r.slopes[0].row(q) = tensor(s[0], v[1], v[2]);
    r.slopes[1].row(q) = tensor(v[0], s[1], v[2]);
    r.slopes[2].row(q) = tensor(v[0], v[1], s[2]);
  }
  return r;
}

void cell_geometry(const Discretisation &d, const ReferenceCell &r, int cell, CellGeometry &out) {
  const auto x = cell_points(d, cell);
  const int points = int(r.weights.size());
  std::array<Eigen::Matrix<double, Eigen::Dynamic, 3>, 3> tangent;  // by reference direction
  for (int a = 0; a < 3; ++a) tangent[a].noalias() = r.slopes[a] * x;
  out.weights.resize(points);
  out.places.noalias() = r.values * x;
  out.least_scaled_jacobian = 1;
  std::array<std::array<Eigen::VectorXd, 3>, 3> inverse;  // [physical][reference]
  for (auto &row : inverse)
    for (auto &v : row) v.resize(points);
  for (int q = 0; q < points; ++q) {
    Eigen::Matrix3d jacobian;
    for (int a = 0; a < 3; ++a) jacobian.col(a) = tangent[a].row(q).transpose();
    const double determinant = jacobian.determinant();
    out.weights[q] = r.weights[q] * determinant;
    const double lengths = jacobian.col(0).norm() * jacobian.col(1).norm() * jacobian.col(2).norm();
    out.least_scaled_jacobian = std::min(out.least_scaled_jacobian, determinant / lengths);
    const Eigen::Matrix3d i = jacobian.inverse();  // d xi_a / d x_k
    for (int k = 0; k < 3; ++k)
      for (int a = 0; a < 3; ++a) inverse[k][a][q] = i(a, k);
  }
  for (int k = 0; k < 3; ++k) {
    out.gradient[k].noalias() = inverse[k][0].asDiagonal() * r.slopes[0];
    for (int a = 1; a < 3; ++a) out.gradient[k].noalias() += inverse[k][a].asDiagonal() * r.slopes[a];
  }
}

FaceGeometry face_geometry(const Discretisation &d, int cell, int face, int points_per_direction) {
  if (d.shape == CellShape::tetrahedron) return tetrahedron_face(d, cell, face, points_per_direction);
  const dealii::QGauss<2> gauss(points_per_direction);
  const auto x = cell_points(d, cell);
  const int normal = face / 2, first = (normal + 1) % 3, second = (normal + 2) % 3;
  const double fixed = face % 2, sign = face % 2 ? 1 : -1;
  FaceGeometry g;
  g.values.resize(gauss.size(), x.rows());
  g.area.resize(gauss.size(), 3);
  g.places.resize(gauss.size(), 3);
  for (unsigned int q = 0; q < gauss.size(); ++q) {
    Eigen::Vector3d xi;
    xi[normal] = fixed;
    xi[first] = gauss.point(q)[0];
    xi[second] = gauss.point(q)[1];
    std::array<Eigen::VectorXd, 3> v, s;
    for (int a = 0; a < 3; ++a) {
      v[a] = lagrange_values(d.knots, xi[a]);
      s[a] = lagrange_slopes(d.knots, xi[a]);
    }
    const auto tangent = [&](int along) -> Eigen::Vector3d {
      return x.transpose() * tensor(along == 0 ? s[0] : v[0], along == 1 ? s[1] : v[1], along == 2 ? s[2] : v[2]);
    };
    g.values.row(q) = tensor(v[0], v[1], v[2]);
    g.area.row(q) = sign * gauss.weight(q) * tangent(first).cross(tangent(second));
    g.places.row(q) = g.values.row(q) * x;
  }
  return g;
}

}  // namespace stillbox
