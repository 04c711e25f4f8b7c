// SPDX-License-Identifier: MIT
#include "solver/inside_field.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/assembly.h"
#include "solver/block_lanczos.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

// K and M of one cell, nodes x nodes; cells that are shifted copies of each other come one after the other mostly.
void air_cell(const CellGeometry &g, const ReferenceCell &reference, Eigen::MatrixXd &K, Eigen::MatrixXd &M) {
  const Eigen::MatrixXd weighted = g.weights.asDiagonal() * reference.values;
  M.noalias() = reference.values.transpose() * weighted;
  K.setZero(M.rows(), M.cols());
  for (int a = 0; a < 3; ++a) {
    const Eigen::MatrixXd slopes = g.weights.asDiagonal() * g.gradient[a];
    K.noalias() += g.gradient[a].transpose() * slopes;
  }
}

// Nodes of each part that is not joined to the others.
std::vector<int> parts_of(const Discretisation &d, int &count) {
  std::vector<int> root(d.points.rows());
  std::iota(root.begin(), root.end(), 0);
  const auto find = [&](int i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  for (const auto &cell : d.cells)
    for (int node : cell) root[find(node)] = find(cell[0]);
  std::vector<int> part(root.size(), -1), of_root(root.size(), -1);
  count = 0;
  for (std::size_t i = 0; i < root.size(); ++i) {
    int &p = of_root[find(int(i))];
    if (p < 0) p = count++;
    part[i] = p;
  }
  return part;
}

Eigen::MatrixXd even_pressures(const InsideField &f, int &chambers) {
  const std::vector<int> part = parts_of(f.discretisation, chambers);
  Eigen::MatrixXd X = Eigen::MatrixXd::Zero(Eigen::Index(part.size()), chambers);
  for (std::size_t i = 0; i < part.size(); ++i) X(Eigen::Index(i), part[i]) = 1;
  const Eigen::MatrixXd MX = multiply(f.mass, X);
  for (int p = 0; p < chambers; ++p) X.col(p) /= std::sqrt(X.col(p).dot(MX.col(p)));
  return X;
}

// The factor of K + s M.
std::unique_ptr<SparseFactor> factor_of(const InsideField &f, double s) {
  const int n = int(f.stiffness.rows());
  System graph;
  graph.block_neighbours.resize(n);
  for (int r = 0; r < n; ++r)
    for (SparseMatrix::InnerIterator it(f.stiffness, r); it; ++it) graph.block_neighbours[r].push_back(int(it.col()));
  std::vector<int> start(n + 1);
  std::iota(start.begin(), start.end(), 0);
  SparseMatrix shifted = f.stiffness + s * f.mass;
  return std::make_unique<SparseFactor>(shifted, dissection_order(graph, start, n), std::vector<int>{}, false);
}

}  // namespace

InsideField make_inside_field(InsideMesh mesh, int degree) {
  InsideField f;
  f.mesh = std::move(mesh);
  f.discretisation = discretise(f.mesh.mesh, degree);
  f.in_box = f.discretisation.points;
  if (f.mesh.place)
    for (Eigen::Index i = 0; i < f.in_box.rows(); ++i)
      f.discretisation.points.row(i) = f.mesh.place(f.in_box.row(i).transpose()).transpose();
  const Discretisation &d = f.discretisation;
  const ReferenceCell reference = make_reference_cell(d, degree + 1);
  std::vector<Eigen::Triplet<double>> K_list, M_list;
  const std::size_t size = d.cells.empty() ? 0 : d.cells[0].size();
  K_list.reserve(d.cells.size() * size * (size + 1) / 2);
  M_list.reserve(K_list.capacity());
  Eigen::MatrixXd K, M;
  for_each_cell(d, reference, [&](int cell, const CellGeometry &g) {
    if (!(g.weights.minCoeff() > 0)) throw SolveError("a cell of the air inside is inverted");
    air_cell(g, reference, K, M);
    f.volume += g.weights.sum();
    const std::vector<int> &nodes = d.cells[cell];
    for (std::size_t b = 0; b < size; ++b)
      for (std::size_t a = 0; a < size; ++a)
        if (nodes[a] >= nodes[b]) {
          K_list.emplace_back(nodes[a], nodes[b], K(a, b));
          M_list.emplace_back(nodes[a], nodes[b], M(a, b));
        }
  });
  const auto n = d.points.rows();
  f.stiffness.resize(n, n);
  f.mass.resize(n, n);
  f.stiffness.setFromTriplets(K_list.begin(), K_list.end());
  f.mass.setFromTriplets(M_list.begin(), M_list.end());
  return f;
}

void solve_standing_waves(InsideField &f, double k_top) {
  const double shift = k_top * k_top;
  const Eigen::MatrixXd even = even_pressures(f, f.chambers);
  const auto factor = factor_of(f, -shift);
  const int wanted = factor->negatives() - f.chambers;
  if (wanted < 0) throw SolveError("the modes of the air inside cannot be counted; raise the fineness");
  LanczosOptions lanczos;
  lanczos.max_vectors = 300 + 8 * wanted;  // few are wanted, and fine elements make their neighbours many
  const EigenPairs pairs = block_lanczos({{}, f.mass}, *factor, shift, wanted, even, lanczos);
  f.standing = f.chambers + wanted;
  f.shapes.resize(even.rows(), f.standing);
  f.shapes << even, pairs.vectors;
  f.squares = Eigen::VectorXd::Zero(f.standing);
  f.squares.tail(wanted) = pairs.values;
}

Eigen::MatrixXd static_fields(const InsideField &f, const Eigen::MatrixXd &loads) {
  const double top = f.standing > f.chambers ? f.squares.head(f.standing).maxCoeff() : 1;
  const Eigen::MatrixXd V = f.shapes.leftCols(f.standing);
  Eigen::MatrixXd y = loads;
  y -= multiply(f.mass, V * (V.transpose() * y));
  factor_of(f, 1e-5 * top)->solve(y);
  for (int pass = 0; pass < 2; ++pass) y -= V * (V.transpose() * multiply(f.mass, y));
  return y;
}

void add_near_fields(InsideField &f, const Eigen::MatrixXd &loads) {
  if (loads.cols() == 0) return;
  Eigen::MatrixXd y = static_fields(f, loads);
  // Columns of one size, so that what depends on the others or is rounding can be told and left out.
  const Eigen::VectorXd norms = (y.cwiseProduct(multiply(f.mass, y))).colwise().sum().cwiseSqrt();
  for (int i = 0; i < y.cols(); ++i)
    if (norms[i] > 0) y.col(i) /= norms[i];
  const SymmetricPairs gram = symmetric_eigenpairs(y.transpose() * multiply(f.mass, y));
  int first = 0;
  while (first < y.cols() && gram.values[first] < 1e-8) ++first;
  const int kept = int(y.cols()) - first;
  if (kept == 0) return;
  y = (y * gram.vectors.rightCols(kept) * gram.values.tail(kept).cwiseSqrt().cwiseInverse().asDiagonal()).eval();
  Eigen::MatrixXd small = y.transpose() * multiply(f.stiffness, y);
  small = ((small + small.transpose()) / 2).eval();
  const SymmetricPairs ritz = symmetric_eigenpairs(small);
  const auto old = f.shapes.cols();
  f.shapes.conservativeResize(Eigen::NoChange, old + kept);
  f.shapes.rightCols(kept).noalias() = y * ritz.vectors;
  f.squares.conservativeResize(old + kept);
  f.squares.tail(kept) = ritz.values;
}

RegionMatrices region_matrices(const InsideField &f, int region, Eigen::MatrixXd *gradient_loads,
                               Eigen::MatrixXd *mass_loads) {
  const Discretisation &d = f.discretisation;
  const ReferenceCell reference = make_reference_cell(d, d.degree + 1);
  const auto n = f.shapes.cols();
  RegionMatrices r;
  r.gradients = r.masses = Eigen::MatrixXd::Zero(n, n);
  if (gradient_loads) *gradient_loads = Eigen::MatrixXd::Zero(f.shapes.rows(), n);
  if (mass_loads) *mass_loads = Eigen::MatrixXd::Zero(f.shapes.rows(), n);
  Eigen::MatrixXd K, M;
  CellGeometry g;
  for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
    if (f.mesh.region[cell] != region) continue;
    cell_geometry(d, reference, int(cell), g);
    air_cell(g, reference, K, M);
    r.volume += g.weights.sum();
    const std::vector<int> &nodes = d.cells[cell];
    Eigen::MatrixXd part(nodes.size(), n);
    for (std::size_t a = 0; a < nodes.size(); ++a) part.row(Eigen::Index(a)) = f.shapes.row(nodes[a]);
    const Eigen::MatrixXd K_part = K * part, M_part = M * part;
    r.gradients.noalias() += part.transpose() * K_part;
    r.masses.noalias() += part.transpose() * M_part;
    for (std::size_t a = 0; a < nodes.size(); ++a) {
      if (gradient_loads) gradient_loads->row(nodes[a]) += K_part.row(Eigen::Index(a));
      if (mass_loads) mass_loads->row(nodes[a]) += M_part.row(Eigen::Index(a));
    }
  }
  return r;
}

}  // namespace stillbox
