// SPDX-License-Identifier: MIT
#include "solver/assembly.h"

#include <algorithm>
#include <array>
#include <numeric>
#include <thread>

#include "solver/fittings.h"
#include "solver/scatter.h"

namespace stillbox {
namespace {

constexpr int voigt[3][3] = {{0, 5, 4}, {5, 1, 3}, {4, 3, 2}};

void add_mass(const ReferenceCell &r, const Eigen::VectorXd &weights, Eigen::MatrixXd &M) {
  const Eigen::MatrixXd m = r.values.transpose() * weights.asDiagonal() * r.values;
  for (int b = 0; b < m.cols(); ++b)
    for (int a = 0; a < m.rows(); ++a)
      for (int i = 0; i < 3; ++i) M(3 * a + i, 3 * b + i) += m(a, b);
}

// Columns that are multiplied beside each other, so that the matrix, which is far larger, is read only once for them;
// twice as many took no less time and 40 MB more at 200 000 unknowns.
constexpr int side_by_side = 8;
template <int width>
using Rows = Eigen::Matrix<double, Eigen::Dynamic, width, Eigen::RowMajor>;

// out = A in for the rows from `begin` to `end` of the stored triangle and what is their mirror image.
template <int width>
void multiply_rows(const SparseMatrix &lower, const double *from, int begin, int end, Rows<width> &out) {
  using Row = Eigen::Matrix<double, 1, width>;
  const Eigen::Map<const Rows<width>> in(from, lower.rows(), width);
  out.setZero(in.rows(), width);
  for (int r = begin; r < end; ++r) {
    const Row own = in.row(r);
    Row sum = Row::Zero();
    for (SparseMatrix::InnerIterator it(lower, r); it; ++it) {
      sum += it.value() * in.row(it.col());
      if (it.col() != r) out.row(it.col()) += it.value() * own;
    }
    out.row(r) += sum;
  }
}

// A x, a row of A for each `unknowns` of x one after the other.
template <int unknowns>
Eigen::MatrixXd multiply_columns(const SparseMatrix &lower, const Eigen::MatrixXd &x) {
  constexpr int width = unknowns * side_by_side;
  Eigen::MatrixXd y(x.rows(), x.cols());
  // Two halves of like many entries, whatever the number of processors: the sums are the same to the last bit.
  const int rows = int(lower.rows()), *start = lower.outerIndexPtr();
  const int middle = int(std::lower_bound(start, start + rows, start[rows] / 2) - start);
  Rows<side_by_side> in(x.rows(), side_by_side);
  Rows<width> first, second;
  for (Eigen::Index at = 0; at < x.cols(); at += side_by_side) {
    const Eigen::Index count = std::min<Eigen::Index>(side_by_side, x.cols() - at);
    in.leftCols(count) = x.middleCols(at, count);
    in.rightCols(side_by_side - count).setZero();
    std::thread other([&] { multiply_rows(lower, in.data(), 0, middle, first); });
    multiply_rows(lower, in.data(), middle, rows, second);
    other.join();
    first += second;
    const Eigen::Map<const Rows<side_by_side>> all(first.data(), x.rows(), side_by_side);
    y.middleCols(at, count) = all.leftCols(count);
  }
  return y;
}

}  // namespace

void add_cell_stiffness(const CellGeometry &g, const Eigen::VectorXd &weights, const StressLaw &law,
                        Eigen::MatrixXd &K) {
  const int n = int(g.gradient[0].cols());
  std::array<Eigen::MatrixXd, 3> weighted;
  for (int k = 0; k < 3; ++k) weighted[k].noalias() = weights.asDiagonal() * g.gradient[k];
  Eigen::MatrixXd S(n, n);
  for (int k = 0; k < 3; ++k)
    for (int l = 0; l < 3; ++l) {
      S.noalias() = g.gradient[k].transpose() * weighted[l];
      for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) {
          const double c = law(voigt[i][k], voigt[j][l]);
          if (c == 0) continue;
          for (int b = 0; b < n; ++b)
            for (int a = 0; a < n; ++a) K(3 * a + i, 3 * b + j) += c * S(a, b);
        }
    }
}

void for_each_cell(const Discretisation &d, const ReferenceCell &reference,
                   const std::function<void(int, const CellGeometry &)> &visit) {
  CellGeometry geometry;
  for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
    cell_geometry(d, reference, int(cell), geometry);
    visit(int(cell), geometry);
  }
}

void assemble_cells(const Structure &s, const HexMesh &mesh, const Discretisation &d, const CellLaws &laws,
                    const std::vector<int> &numbers, const std::vector<CellUnknowns> &cells, MatrixSink &sink,
                    System &sums) {
  const ReferenceCell reference = make_reference_cell(d, d.degree + 1);
  const int n = 3 * int(d.cells[0].size());
  Eigen::MatrixXd K(n, n), M(n, n);
  CellGeometry g;
  for (const int cell : numbers) {
    cell_geometry(d, reference, cell, g);
    if (g.weights.minCoeff() <= 0)
      throw SolveError("a cell of board \"" + s.boards[mesh.cells[cell].board].name +
                       "\" is turned inside out; try a higher fineness or move the cut-outs apart");
    sums.least_jacobian = std::min(sums.least_jacobian, g.least_scaled_jacobian);
    K.setZero();
    M.setZero();
    const HexCell &hex = mesh.cells[cell];
    const Eigen::VectorXd share = first_share(s, hex, g);
    const auto add = [&](int board, int layer, const Eigen::VectorXd &weights) {
      const LayerLaw &law = laws.layers[laws.layer_of[board][layer]];
      add_cell_stiffness(g, weights, law.law, K);
      add_mass(reference, law.density * weights, M);
      sums.wood_mass += law.density * weights.sum();
      sums.wood_volume += weights.sum();
    };
    add(hex.board, hex.layer, share.cwiseProduct(g.weights));
    if (hex.mate >= 0) add(hex.mate, hex.mate_layer, (1 - share.array()).matrix().cwiseProduct(g.weights));
    sink.add(cells[cell], K, M);
  }
}

System assemble(const Structure &s, const HexMesh &mesh, const Discretisation &d, const Unknowns &unknowns,
                const CellLaws &laws) {
  System system;
  std::vector<int> numbers(d.cells.size());
  std::iota(numbers.begin(), numbers.end(), 0);
  std::vector<CellUnknowns> cells;
  for (const int cell : numbers) cells.push_back(cell_unknowns(unknowns, d, cell));
  system.bonds = bond_cells(s, mesh, d, unknowns);
  for (const BondCell &bond : system.bonds) cells.push_back(bond.unknowns);
  system.block_neighbours = lower_neighbours(cells, int(unknowns.block_start.size()) - 1);
  Scatter scatter(unknowns, system.block_neighbours);
  assemble_cells(s, mesh, d, laws, numbers, cells, scatter, system);
  add_fittings(s, mesh, d, unknowns, cells, scatter, system.fitting_mass);
  for (const BondCell &bond : system.bonds) scatter.add(bond.unknowns, bond.stiffness, {});
  for (CellUnknowns &cell : cells) system.cells.push_back(std::move(cell.blocks));
  scatter.finish(system.stiffness, system.mass);
  return system;
}

Eigen::MatrixXd multiply(const SparseMatrix &lower, const Eigen::MatrixXd &x) {
  if (x.cols() < 3) return lower.selfadjointView<Eigen::Lower>() * x;
  return multiply_columns<1>(lower, x);
}

Eigen::MatrixXd multiply_nodes(const SparseMatrix &lower, const Eigen::MatrixXd &x) {
  return multiply_columns<3>(lower, x);
}

}  // namespace stillbox
