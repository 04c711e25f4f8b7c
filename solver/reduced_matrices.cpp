// SPDX-License-Identifier: MIT
#include "solver/reduced_matrices.h"

#include <future>
#include <numeric>

#include "solver/blas_threads.h"
#include "solver/fittings.h"

namespace stillbox {
namespace {

struct Sum : MatrixSink {
  const Eigen::MatrixXd &V;
  const bool with_mass;
  ReducedMatrices total;
  Eigen::MatrixXd rows, product;  // columns of V x unknowns of a cell, and times a matrix

  Sum(const Eigen::MatrixXd &v, bool mass_too) : V(v), with_mass(mass_too) {
    total.stiffness.setZero(V.cols(), V.cols());
    if (with_mass) total.mass.setZero(V.cols(), V.cols());
  }

  void add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) override {
    Eigen::MatrixXd own(V.cols(), Eigen::Index(cell.list.size()));
    for (std::size_t i = 0; i < cell.list.size(); ++i) own.col(Eigen::Index(i)) = V.row(cell.list[i]);
    rows.resize(V.cols(), K.rows());
    if (cell.plain)
      for (std::size_t r = 0; r < cell.position.size(); ++r) rows.col(Eigen::Index(r)) = own.col(cell.position[r]);
    else
      rows = own * cell.T.transpose();
    product.noalias() = rows * K;
    total.stiffness.noalias() += product * rows.transpose();
    if (with_mass && M.size() > 0) add_scalar_blocks(M);
  }

  void add_mass(int i, int j, double value) override {
    if (!with_mass) return;
    const Eigen::MatrixXd outer = value * V.row(i).transpose() * V.row(j);
    total.mass += i == j ? outer : Eigen::MatrixXd(outer + outer.transpose());
  }

  // Displacements across each other have no mass in common: a ninth of the matrix is all there is.
  void add_scalar_blocks(const Eigen::MatrixXd &M) {
    const Eigen::Index n = M.rows() / 3;
    const auto every_third = Eigen::Stride<Eigen::Dynamic, Eigen::Dynamic>(3 * M.rows(), 3);
    using Strided = Eigen::Map<const Eigen::MatrixXd, 0, Eigen::Stride<Eigen::Dynamic, Eigen::Dynamic>>;
    using Columns = Eigen::Map<const Eigen::MatrixXd, 0, Eigen::OuterStride<>>;
    for (Eigen::Index i = 0; i < 3; ++i) {
      const Eigen::MatrixXd m = Strided(M.data() + i * (M.rows() + 1), n, n, every_third);
      const Eigen::MatrixXd x =
          Columns(rows.data() + i * rows.rows(), rows.rows(), n, Eigen::OuterStride<>(3 * rows.rows()));
      product.noalias() = x * m;
      total.mass.noalias() += product * x.transpose();
    }
  }
};

void add_up(ReducedMatrices &a, const ReducedMatrices &b) {
  a.stiffness += b.stiffness;
  a.mass += b.mass;
  a.wood_volume += b.wood_volume;
}

ReducedMatrices reduced(const Structure &s, const HexMesh &mesh, const Discretisation &d, const Unknowns &unknowns,
                        const CellLaws &laws, const Eigen::MatrixXd &V, bool with_mass) {
  const OneBlasThread one_thread;
  std::vector<CellUnknowns> cells;
  for (std::size_t c = 0; c < d.cells.size(); ++c) cells.push_back(cell_unknowns(unknowns, d, int(c)));
  const auto sum_of = [&](std::size_t begin, std::size_t end) {
    std::vector<int> numbers(end - begin);
    std::iota(numbers.begin(), numbers.end(), int(begin));
    Sum sum(V, with_mass);
    System wood;
    assemble_cells(s, mesh, d, laws, numbers, cells, sum, wood);
    sum.total.wood_volume = wood.wood_volume;
    return sum.total;
  };
  auto first_half = std::async(std::launch::async, sum_of, std::size_t(0), d.cells.size() / 2);
  ReducedMatrices total = sum_of(d.cells.size() / 2, d.cells.size());
  add_up(total, first_half.get());

  Sum rest(V, with_mass);
  double kilograms = 0;
  add_fittings(s, mesh, d, unknowns, cells, rest, kilograms);
  for (const BondCell &bond : bond_cells(s, mesh, d, unknowns)) rest.add(bond.unknowns, bond.stiffness, {});
  add_up(total, rest.total);
  return total;
}

}  // namespace

ReducedMatrices reduced_matrices(const Structure &s, const HexMesh &mesh, const Discretisation &d,
                                 const Unknowns &unknowns, const CellLaws &laws, const Eigen::MatrixXd &V) {
  return reduced(s, mesh, d, unknowns, laws, V, true);
}

Eigen::MatrixXd reduced_stiffness(const Structure &s, const HexMesh &mesh, const Discretisation &d,
                                  const Unknowns &unknowns, const CellLaws &laws, const Eigen::MatrixXd &V) {
  return reduced(s, mesh, d, unknowns, laws, V, false).stiffness;
}

}  // namespace stillbox
