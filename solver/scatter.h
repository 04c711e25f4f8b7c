// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <vector>

#include "solver/unknowns.h"

namespace stillbox {

using SparseMatrix = Eigen::SparseMatrix<double, Eigen::RowMajor, int>;

/// The first n rows and columns of a lower triangle in compressed rows, in memory of just the size. (Assigning one
/// sparse matrix to another grows it by doubling, which takes up to three times as much for a while; and sparse
/// matrices of Eigen 3.4 cannot be moved, only swapped.)
void copy_rows(int n, const int *row_start, const int *columns, const double *values, SparseMatrix &copy);

/// For each block the blocks of equal or lower number that share a cell with it, increasing.
std::vector<std::vector<int>> lower_neighbours(const std::vector<CellUnknowns> &cells, int blocks);

/// Takes cell matrices: here a Scatter, under MPI matrices of which each process has some rows.
struct MatrixSink {
  virtual ~MatrixSink() = default;

  /// Adds T' K T and T' M T of one cell (3 n x 3 n matrices, node component fastest); M of no size: a spring.
  virtual void add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) = 0;

  /// Adds to a single entry of the mass matrix, indices in any order.
  virtual void add_mass(int i, int j, double value) = 0;
};

/// Collects cell matrices into the lower triangles of two sparse matrices. That of the mass has a part of the other's
/// pattern: displacements across each other have no mass in common, but for the motions of a rigid basket. Without the
/// mass, what is added to it is let go.
class Scatter : public MatrixSink {
 public:
  Scatter(const Unknowns &unknowns, const std::vector<std::vector<int>> &neighbours, bool with_mass = true);

  void add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) override;
  void add_mass(int i, int j, double value) override;

  /// Adds to a single entry of the stiffness matrix, indices in any order.
  void add_stiffness(int i, int j, double value) { stiffness_.valuePtr()[place(i, j)] += value; }

  /// Moves the result out; `mass` is empty without it.
  void finish(SparseMatrix &stiffness, SparseMatrix &mass);

 private:
  std::size_t place(int i, int j) const;
  int mass_place(int row, int first_column) const;
  void make_mass_pattern();

  const Unknowns &unknowns_;
  const std::vector<std::vector<int>> &neighbours_;
  const bool with_mass_;
  std::vector<int> block_of_;                    // unknown -> block
  std::vector<std::vector<int>> column_offset_;  // per block: first column place of each neighbour within a row
  SparseMatrix stiffness_;                       // its values are added to in place
  SparseMatrix mass_;
};

}  // namespace stillbox
