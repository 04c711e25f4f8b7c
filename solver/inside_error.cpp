// SPDX-License-Identifier: MIT
#include "solver/assembly.h"
#include "solver/inside_field.h"

namespace stillbox {
namespace {

constexpr double safety = 3;  // found on boxes and on a window between two chambers: true over estimated, 2.4 to 3.4

// Gradients of the shapes at a cell's nodes: three matrices, nodes x shapes. Reference slopes at the nodes themselves.
ReferenceCell nodal_cell(const Discretisation &d) {
  const int n = d.degree + 1, count = n * n * n;
  ReferenceCell r;
  r.weights = Eigen::VectorXd::Constant(count, 1.0 / count);
  r.values = Eigen::MatrixXd::Identity(count, count);
  r.places.resize(count, 3);
  for (auto &slopes : r.slopes) slopes = Eigen::MatrixXd::Zero(count, count);
  for (int k = 0; k < n; ++k)
    for (int j = 0; j < n; ++j)
      for (int i = 0; i < n; ++i) {
        const int at[3] = {i, j, k}, row = i + n * (j + n * k), step[3] = {1, n, n * n};
        for (int a = 0; a < 3; ++a) {
          r.places(row, a) = d.knots[at[a]];
          const Eigen::VectorXd slopes = lagrange_slopes(d.knots, d.knots[at[a]]);
          for (int m = 0; m < n; ++m) r.slopes[a](row, row + (m - at[a]) * step[a]) = slopes[m];
        }
      }
  return r;
}

}  // namespace

Eigen::VectorXd inside_errors(const InsideField &f) {
  const Discretisation &d = f.discretisation;
  const ReferenceCell nodal = nodal_cell(d), gauss = make_reference_cell(d, d.degree + 1);
  const Eigen::MatrixXd V = f.shapes.leftCols(f.standing);
  const auto part_of = [&](int cell) {
    Eigen::MatrixXd part(d.cells[cell].size(), V.cols());
    for (std::size_t a = 0; a < d.cells[cell].size(); ++a) part.row(Eigen::Index(a)) = V.row(d.cells[cell][a]);
    return part;
  };
  // Averages at the nodes, weighted by the cells' volumes.
  std::array<Eigen::MatrixXd, 3> mean;
  for (auto &m : mean) m = Eigen::MatrixXd::Zero(V.rows(), V.cols());
  Eigen::VectorXd weight = Eigen::VectorXd::Zero(V.rows());
  for_each_cell(d, nodal, [&](int cell, const CellGeometry &g) {
    const Eigen::MatrixXd part = part_of(cell);
    const double volume = g.weights.sum();
    for (int a = 0; a < 3; ++a) {
      const Eigen::MatrixXd slopes = volume * (g.gradient[a] * part);
      for (std::size_t i = 0; i < d.cells[cell].size(); ++i)
        mean[a].row(d.cells[cell][i]) += slopes.row(Eigen::Index(i));
    }
    for (int node : d.cells[cell]) weight[node] += volume;
  });
  for (auto &m : mean) m = (weight.cwiseInverse().asDiagonal() * m).eval();
  Eigen::VectorXd difference = Eigen::VectorXd::Zero(V.cols());
  for_each_cell(d, gauss, [&](int cell, const CellGeometry &g) {
    const Eigen::MatrixXd part = part_of(cell);
    for (int a = 0; a < 3; ++a) {
      Eigen::MatrixXd smooth(part.rows(), part.cols());
      for (std::size_t i = 0; i < d.cells[cell].size(); ++i)
        smooth.row(Eigen::Index(i)) = mean[a].row(d.cells[cell][i]);
      const Eigen::MatrixXd gap = gauss.values * smooth - g.gradient[a] * part;
      difference += (g.weights.asDiagonal() * gap.cwiseAbs2()).colwise().sum().transpose();
    }
  });
  Eigen::VectorXd error = Eigen::VectorXd::Zero(V.cols());
  for (int i = f.chambers; i < V.cols(); ++i) error[i] = safety * difference[i] / f.squares[i] / 2;
  return error;
}

}  // namespace stillbox
