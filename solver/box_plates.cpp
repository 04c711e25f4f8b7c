// SPDX-License-Identifier: MIT
#include "solver/box_plates.h"

#include <Eigen/Sparse>
#include <Eigen/SparseCholesky>

#include "mesh/box_edges.h"
#include "solver/gauss_legendre.h"

namespace stillbox {
namespace {

using Matrix = Eigen::SparseMatrix<double>;
using Rows = Eigen::Matrix<double, Eigen::Dynamic, 2>;

struct PlateMatrices {
  Matrix stiffness, mass;
};

PlateMatrices matrices_of(const std::vector<std::vector<int>> &cells, const Rows &columns,
                          const std::vector<double> &knots) {
  const int n = int(knots.size()), nodes = n * n;
  const GaussRule rule = gauss_legendre(n);
  std::vector<Eigen::VectorXd> values, slopes;
  for (const double t : rule.point) {
    values.push_back(lagrange_values(knots, (1 + t) / 2));
    slopes.push_back(lagrange_slopes(knots, (1 + t) / 2));
  }
  std::vector<Eigen::Triplet<double>> stiff, heavy;
  Eigen::MatrixXd along(2, nodes);
  Eigen::VectorXd shape(nodes);
  for (const std::vector<int> &cell : cells) {
    Rows x(nodes, 2);
    for (int a = 0; a < nodes; ++a) x.row(a) = columns.row(cell[std::size_t(a)]);
    Eigen::MatrixXd k = Eigen::MatrixXd::Zero(nodes, nodes), m = k;
    for (std::size_t q = 0; q < values.size(); ++q)
      for (std::size_t p = 0; p < values.size(); ++p) {
        for (int j = 0; j < n; ++j)
          for (int i = 0; i < n; ++i) {
            along(0, i + n * j) = slopes[p][i] * values[q][j];
            along(1, i + n * j) = values[p][i] * slopes[q][j];
            shape[i + n * j] = values[p][i] * values[q][j];
          }
        const Eigen::Matrix2d jacobian = along * x;
        const double weight =
            rule.weight[Eigen::Index(p)] * rule.weight[Eigen::Index(q)] / 4 * std::abs(jacobian.determinant());
        const Eigen::MatrixXd gradient = jacobian.inverse() * along;
        k += weight * gradient.transpose() * gradient;
        m += weight * shape * shape.transpose();
      }
    for (int a = 0; a < nodes; ++a)
      for (int b = 0; b < nodes; ++b) {
        stiff.emplace_back(cell[std::size_t(a)], cell[std::size_t(b)], k(a, b));
        heavy.emplace_back(cell[std::size_t(a)], cell[std::size_t(b)], m(a, b));
      }
  }
  const Eigen::Index size = columns.rows();
  PlateMatrices result{Matrix(size, size), Matrix(size, size)};
  result.stiffness.setFromTriplets(stiff.begin(), stiff.end());
  result.mass.setFromTriplets(heavy.begin(), heavy.end());
  return result;
}

// Solves A x = 0 with some rows of x held.
Rows solve_held(const Matrix &a, const std::vector<std::optional<Eigen::Vector2d>> &held) {
  std::vector<int> number(held.size(), -1);
  int count = 0;
  for (std::size_t i = 0; i < held.size(); ++i)
    if (!held[i]) number[i] = count++;
  Rows x = Rows::Zero(Eigen::Index(held.size()), 2);
  for (std::size_t i = 0; i < held.size(); ++i)
    if (held[i]) x.row(Eigen::Index(i)) = held[i]->transpose();
  if (count == 0) return x;
  std::vector<Eigen::Triplet<double>> entries;
  for (int col = 0; col < a.outerSize(); ++col)
    for (Matrix::InnerIterator it(a, col); it; ++it)
      if (number[std::size_t(it.row())] >= 0 && number[std::size_t(col)] >= 0)
        entries.emplace_back(number[std::size_t(it.row())], number[std::size_t(col)], it.value());
  Matrix free(count, count);
  free.setFromTriplets(entries.begin(), entries.end());
  const Rows load = -(a * x);
  Rows right(count, 2);
  for (std::size_t i = 0; i < held.size(); ++i)
    if (number[i] >= 0) right.row(number[i]) = load.row(Eigen::Index(i));
  const Eigen::SimplicialLDLT<Matrix> solver(free);
  const Rows solved = solver.solve(right);
  for (std::size_t i = 0; i < held.size(); ++i)
    if (number[i] >= 0) x.row(Eigen::Index(i)) = solved.row(number[i]);
  return x;
}

}  // namespace

PlatePlaces spread_plate(const PlateMesh &mesh, const std::vector<double> &knots, double reach) {
  Rows columns(Eigen::Index(mesh.columns.size()), 2);
  for (Eigen::Index i = 0; i < columns.rows(); ++i) columns.row(i) = mesh.columns[std::size_t(i)].transpose();
  const Rows inner = solve_held(matrices_of(mesh.cells, columns, knots).stiffness, mesh.inner);
  std::vector<std::optional<Eigen::Vector2d>> lean(mesh.columns.size());
  for (std::size_t i = 0; i < lean.size(); ++i)
    if (mesh.inner[i] && mesh.outer[i]) lean[i] = *mesh.outer[i] - *mesh.inner[i];
  double longest = 0;
  for (const auto &difference : lean)
    if (difference) longest = std::max(longest, difference->norm());
  reach = std::max(reach, steepest_lean * longest);
  const PlateMatrices matrices = matrices_of(mesh.cells, inner, knots);  // distances are those in the shape
  const Rows outer = inner + solve_held(matrices.mass + reach * reach * matrices.stiffness, lean);
  PlatePlaces places;
  for (Eigen::Index i = 0; i < inner.rows(); ++i) {
    places.inner.emplace_back(inner.row(i).transpose());
    places.outer.emplace_back(outer.row(i).transpose());
  }
  return places;
}

}  // namespace stillbox
