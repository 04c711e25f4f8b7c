// SPDX-License-Identifier: MIT
#include "solver/tetrahedra.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "solver/lapack.h"

namespace stillbox {
namespace {

// Gauss-Jacobi rule for the integral of (1 - t)^power f(t) over 0 .. 1 by Golub and Welsch.
std::pair<Eigen::VectorXd, Eigen::VectorXd> gauss_jacobi(int n, int power) {
  const double a = power;
  Eigen::MatrixXd T = Eigen::MatrixXd::Zero(n, n);
  for (int i = 0; i < n; ++i) {
    T(i, i) = i == 0 ? -a / (a + 2) : -a * a / ((2 * i + a) * (2 * i + a + 2));
    if (i == 0) continue;
    const double m = 2 * i + a;
    T(i, i - 1) = T(i - 1, i) = std::sqrt(4 * i * (i + a) * i * (i + a) / (m * m * (m + 1) * (m - 1)));
  }
  const SymmetricPairs pairs = symmetric_eigenpairs(T);
  const Eigen::VectorXd points = (pairs.values.array() + 1) / 2;
  return {points, pairs.vectors.row(0).transpose().cwiseAbs2() / (power + 1)};
}

// Corners of the four faces, and the corner opposite.
constexpr int face_corners[4][4] = {{1, 2, 3, 0}, {0, 2, 3, 1}, {0, 1, 3, 2}, {0, 1, 2, 3}};

}  // namespace

bool is_on_rim(const Board &board, const CutOut &c, const Eigen::Vector3d &x) {
  const double tolerance = 2e-3 * std::min(c.width, c.height) + 1e-6;
  const Eigen::Vector3d p = board.coordinates_of(x);
  if (p.z() < -tolerance || p.z() > board.thickness() + tolerance) return false;
  const double a = std::abs(p.x() - c.centre.x()), b = std::abs(p.y() - c.centre.y());
  if (c.shape == CutOutShape::rectangle) {
    const double da = a - c.width / 2, db = b - c.height / 2;
    return std::abs(std::max(da, db)) < tolerance;
  }
  const double radius = std::min(c.width, c.height) / 2;
  const Eigen::Vector2d beyond(std::max(a - (c.width / 2 - radius), 0.0), std::max(b - (c.height / 2 - radius), 0.0));
  return std::abs(beyond.norm() - radius) < tolerance;
}

Eigen::MatrixXd tetrahedron_basis(int degree, const Eigen::Matrix<double, Eigen::Dynamic, 3> &reference) {
  Eigen::MatrixXd at_nodes(reference.rows(), reference.rows());
  for (Eigen::Index a = 0; a < reference.rows(); ++a)
    at_nodes.row(a) = monomials(degree, reference.row(a).transpose()).transpose();
  return at_nodes.inverse();
}

TetRule tetrahedron_rule(int n) {
  const auto [r, wr] = gauss_jacobi(n, 2);
  const auto [s, ws] = gauss_jacobi(n, 1);
  const auto [t, wt] = gauss_jacobi(n, 0);
  TetRule rule;
  rule.points.resize(n * n * n, 3);
  rule.weights.resize(n * n * n);
  int q = 0;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j)
      for (int k = 0; k < n; ++k, ++q) {
        rule.points.row(q) << r[i], s[j] * (1 - r[i]), t[k] * (1 - r[i]) * (1 - s[j]);
        rule.weights[q] = wr[i] * ws[j] * wt[k];
      }
  return rule;
}

Eigen::VectorXd monomials(int degree, const Eigen::Vector3d &xi) {
  Eigen::VectorXd m((degree + 1) * (degree + 2) * (degree + 3) / 6);
  int at = 0;
  double x = 1;
  for (int i = 0; i <= degree; ++i, x *= xi.x()) {
    double y = x;
    for (int j = 0; i + j <= degree; ++j, y *= xi.y()) {
      double z = y;
      for (int k = 0; i + j + k <= degree; ++k, z *= xi.z()) m[at++] = z;
    }
  }
  return m;
}

Eigen::Matrix<double, Eigen::Dynamic, 3> monomial_slopes(int degree, const Eigen::Vector3d &xi) {
  Eigen::Matrix<double, Eigen::Dynamic, 3> m((degree + 1) * (degree + 2) * (degree + 3) / 6, 3);
  const auto power = [](double x, int n) {
    double p = 1;
    for (int i = 0; i < n; ++i) p *= x;
    return p;
  };
  const auto slope = [&](double x, int n) { return n == 0 ? 0.0 : n * power(x, n - 1); };
  int at = 0;
  for (int i = 0; i <= degree; ++i)
    for (int j = 0; i + j <= degree; ++j)
      for (int k = 0; i + j + k <= degree; ++k, ++at) {
        const double x = power(xi.x(), i), y = power(xi.y(), j), z = power(xi.z(), k);
        m.row(at) << slope(xi.x(), i) * y * z, x * slope(xi.y(), j) * z, x * y * slope(xi.z(), k);
      }
  return m;
}

Discretisation discretise(const TetMesh &mesh, const Structure &s) {
  Discretisation d;
  d.shape = CellShape::tetrahedron;
  d.degree = mesh.degree;
  d.points = mesh.nodes;
  d.cells = mesh.cells;
  d.reference = mesh.reference;
  const int n = int(mesh.reference.rows());
  d.basis = tetrahedron_basis(d.degree, mesh.reference);
  std::array<std::vector<int>, 4> on_face;  // nodes of each face
  for (int f = 0; f < 4; ++f)
    for (int a = 0; a < n; ++a) {
      const Eigen::Vector3d x = mesh.reference.row(a);
      // Face f is opposite corner f: there that corner's barycentric coordinate is zero.
      const double coordinate = f == 0 ? 1 - x.sum() : x[f - 1];
      if (std::abs(coordinate) < 1e-9) on_face[f].push_back(a);
    }
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    for (std::size_t c = 0; c < s.boards[b].cut_outs.size(); ++c) {
      Discretisation::RimNodes rim{int(b), int(c), {}, {}};
      for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
        if (mesh.cell_board[cell] != int(b)) continue;
        for (int f = 0; f < 4; ++f) {
          const auto is_on = [&](int a) {
            return is_on_rim(s.boards[b], s.boards[b].cut_outs[c], d.points.row(d.cells[cell][a]).transpose());
          };
          if (!std::all_of(on_face[f].begin(), on_face[f].end(), is_on)) continue;
          rim.faces.emplace_back(int(cell), f);
          for (int a : on_face[f]) rim.nodes.push_back(d.cells[cell][a]);
        }
      }
      std::sort(rim.nodes.begin(), rim.nodes.end());
      rim.nodes.erase(std::unique(rim.nodes.begin(), rim.nodes.end()), rim.nodes.end());
      if (!rim.nodes.empty()) d.rims.push_back(rim);
    }
  return d;
}

ReferenceCell tetrahedron_reference(const Discretisation &d, const Eigen::Matrix<double, Eigen::Dynamic, 3> &points,
                                    const Eigen::VectorXd &weights) {
  ReferenceCell r;
  r.weights = weights;
  r.places = points;
  r.values.resize(points.rows(), d.basis.cols());
  for (auto &s : r.slopes) s.resize(points.rows(), d.basis.cols());
  for (Eigen::Index q = 0; q < points.rows(); ++q) {
    const Eigen::Vector3d xi = points.row(q);
    r.values.row(q) = monomials(d.degree, xi).transpose() * d.basis;
    const Eigen::MatrixXd slopes = monomial_slopes(d.degree, xi).transpose() * d.basis;
    for (int k = 0; k < 3; ++k) r.slopes[k].row(q) = slopes.row(k);
  }
  return r;
}

ReferenceCell tetrahedron_reference(const Discretisation &d, int points_per_direction) {
  const TetRule rule = tetrahedron_rule(points_per_direction);
  return tetrahedron_reference(d, rule.points, rule.weights);
}

FaceGeometry tetrahedron_face(const Discretisation &d, int cell, int face, int points_per_direction) {
  const auto [r, wr] = gauss_jacobi(points_per_direction, 1);
  const auto [t, wt] = gauss_jacobi(points_per_direction, 0);
  const int n = points_per_direction;
  const Eigen::Vector3d corner[4] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  const int *at = face_corners[face];
  const Eigen::Vector3d A = corner[at[0]], along = corner[at[1]] - A, across = corner[at[2]] - A;
  const auto sign_of = [&] { return along.cross(across).dot(corner[at[3]] - A) > 0 ? -1.0 : 1.0; };
  const double sign = sign_of();
  Eigen::Matrix<double, Eigen::Dynamic, 3> points(n * n, 3);
  Eigen::VectorXd weights(n * n);
  for (int i = 0, q = 0; i < n; ++i)
    for (int j = 0; j < n; ++j, ++q) {
      points.row(q) = (A + r[i] * along + t[j] * (1 - r[i]) * across).transpose();
      weights[q] = wr[i] * wt[j];
    }
  const ReferenceCell reference = tetrahedron_reference(d, points, weights);
  Eigen::Matrix<double, Eigen::Dynamic, 3> x(d.cells[cell].size(), 3);
  for (std::size_t a = 0; a < d.cells[cell].size(); ++a) x.row(a) = d.points.row(d.cells[cell][a]);
  FaceGeometry g;
  g.values = reference.values;
  g.places = reference.values * x;
  g.area.resize(n * n, 3);
  for (int q = 0; q < n * n; ++q) {
    Eigen::Matrix3d jacobian;
    for (int k = 0; k < 3; ++k) jacobian.col(k) = (reference.slopes[k].row(q) * x).transpose();
    // A cell whose corners turn the other way has a negative determinant, and no such cell is assembled.
    g.area.row(q) = sign * weights[q] * (jacobian * along).cross(jacobian * across).transpose();
  }
  return g;
}

}  // namespace stillbox
