// SPDX-License-Identifier: MIT
#include "solver/rank_matrices.h"

#include <slepcsys.h>

#include <cstdlib>

#include "solver/fittings.h"
#include "solver/ranks.h"

namespace stillbox {
namespace {

void start_petsc() {
  static const bool started = [] {
    start_mpi();
    must(PetscOptionsSetValue(nullptr, "-no_signal_handler", "true"));
    must(PetscOptionsSetValue(nullptr, "-skip_petscrc", "true"));
    must(SlepcInitializeNoArguments());
    must(PetscPushErrorHandler(PetscReturnErrorHandler, nullptr));
    std::atexit([] { SlepcFinalize(); });  // before MPI, which started earlier
    return true;
  }();
  (void)started;
}

void create(const RankRows &rows, const Unknowns &unknowns, const RowLengths &lengths, Mat *matrix) {
  const int own = int(rows.own.size());
  must(MatCreate(PETSC_COMM_WORLD, matrix));
  must(MatSetSizes(*matrix, own, own, unknowns.count, unknowns.count));
  must(MatSetType(*matrix, MATSBAIJ));
  must(MatSeqSBAIJSetPreallocation(*matrix, 1, 0, lengths.own.data()));
  must(MatMPISBAIJSetPreallocation(*matrix, 1, 0, lengths.own.data(), 0, lengths.others.data()));
  must(MatSetOption(*matrix, MAT_IGNORE_LOWER_TRIANGULAR, PETSC_TRUE));
}

// Cell matrices to rows of PETSc's.
struct RankScatter : MatrixSink {
  const RankRows &rows;
  Mat stiffness, mass;

  RankScatter(const RankRows &r, Mat k, Mat m) : rows(r), stiffness(k), mass(m) {}

  void add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) override {
    std::vector<int> at;
    if (cell.plain) {
      for (const int place : cell.position) at.push_back(rows.row_of[cell.list[place]]);
      add_at(at, K, M);
    } else {
      for (const int unknown : cell.list) at.push_back(rows.row_of[unknown]);
      const Eigen::MatrixXd k = cell.T.transpose() * (K * cell.T);
      add_at(at, k, M.size() > 0 ? Eigen::MatrixXd(cell.T.transpose() * (M * cell.T)) : M);
    }
  }
  void add_mass(int i, int j, double value) override {
    const int a = std::min(rows.row_of[i], rows.row_of[j]), b = std::max(rows.row_of[i], rows.row_of[j]);
    if (value != 0) must(MatSetValue(mass, a, b, value, ADD_VALUES));
  }

 private:
  // Both matrices are symmetric, so rows and columns may change places. Two thirds of a mass are zeros, which have no
  // room in the matrix.
  void add_at(const std::vector<int> &at, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) {
    const int n = int(at.size());
    must(MatSetValues(stiffness, n, at.data(), n, at.data(), K.data(), ADD_VALUES));
    if (M.size() == 0) return;
    std::vector<int> columns;
    std::vector<double> values;
    for (int c = 0; c < n; ++c) {
      columns.clear();
      values.clear();
      for (int r = 0; r < n; ++r)
        if (M(r, c) != 0) {
          columns.push_back(at[r]);
          values.push_back(M(r, c));
        }
      if (!columns.empty())
        must(MatSetValues(mass, 1, &at[c], int(columns.size()), columns.data(), values.data(), ADD_VALUES));
    }
  }
};

void sum_over_ranks(System &system) {
  double sums[3] = {system.wood_mass, system.wood_volume, system.fitting_mass};
  MPI_Allreduce(MPI_IN_PLACE, sums, 3, MPI_DOUBLE, MPI_SUM, PETSC_COMM_WORLD);
  MPI_Allreduce(MPI_IN_PLACE, &system.least_jacobian, 1, MPI_DOUBLE, MPI_MIN, PETSC_COMM_WORLD);
  system.wood_mass = sums[0];
  system.wood_volume = sums[1];
  system.fitting_mass = sums[2];
}

}  // namespace

void assemble_on_ranks(const Model &m, RankMatrices &matrices, System &system) {
  start_petsc();
  const Structure &s = *m.structure;
  const CellShares shares = share_cells(m.mesh, m.discretisation);
  RankRows &rows = matrices.rows;
  rows = make_rank_rows(m.unknowns, shares.node_rank, own_rank(), rank_count());
  const bool is_first = own_rank() == 0;

  std::vector<std::vector<int>> blocks;
  std::vector<CellUnknowns> cells(m.discretisation.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) {
    cells[c] = cell_unknowns(m.unknowns, m.discretisation, int(c));
    blocks.push_back(cells[c].blocks);
  }
  system.bonds = bond_cells(s, m.mesh, m.discretisation, m.unknowns);
  for (const BondCell &bond : system.bonds) blocks.push_back(bond.unknowns.blocks);
  const PatternLengths lengths = pattern_lengths(m.unknowns, rows, blocks, own_rank());
  create(rows, m.unknowns, lengths.stiffness, &matrices.stiffness.object);
  create(rows, m.unknowns, lengths.mass, &matrices.mass.object);

  RankScatter scatter(rows, matrices.stiffness, matrices.mass);
  assemble_cells(s, m.mesh, m.discretisation, m.laws, shares.own_cells, cells, scatter, system);
  if (is_first) {
    add_fittings(s, m.mesh, m.discretisation, m.unknowns, cells, scatter, system.fitting_mass);
    for (const BondCell &bond : system.bonds) scatter.add(bond.unknowns, bond.stiffness, {});
  }
  for (Mat matrix : {matrices.stiffness.object, matrices.mass.object}) {
    must(MatAssemblyBegin(matrix, MAT_FINAL_ASSEMBLY));
    must(MatAssemblyEnd(matrix, MAT_FINAL_ASSEMBLY));
  }
  sum_over_ranks(system);
}

}  // namespace stillbox
