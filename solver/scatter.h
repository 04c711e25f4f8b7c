// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <vector>

#include "solver/unknowns.h"

namespace stillbox {

/// For each block the blocks of equal or lower number that share a cell with it, increasing.
std::vector<std::vector<int>> lower_neighbours(const std::vector<CellUnknowns> &cells, int blocks);

/// Collects cell matrices into the lower triangles of two sparse matrices of one pattern.
class Scatter {
 public:
  Scatter(const Unknowns &unknowns, const std::vector<std::vector<int>> &neighbours);

  /// Adds T' K T and T' M T of one cell (3 n x 3 n matrices, node component fastest).
  void add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M);

  /// Adds to single entries of the stiffness or the mass matrix, indices in any order.
  void add_stiffness(int i, int j, double value) { stiffness_[place(i, j)] += value; }
  void add_mass(int i, int j, double value) { mass_[place(i, j)] += value; }

  /// Moves the result out; entries that are exactly zero are dropped from the mass matrix.
  void finish(Eigen::SparseMatrix<double, Eigen::RowMajor, int> &stiffness,
              Eigen::SparseMatrix<double, Eigen::RowMajor, int> &mass);

 private:
  std::size_t place(int i, int j) const;

  const Unknowns &unknowns_;
  const std::vector<std::vector<int>> &neighbours_;
  std::vector<int> block_of_;                    // unknown -> block
  std::vector<std::vector<int>> column_offset_;  // per block: first column place of each neighbour within a row
  std::vector<int> row_start_, columns_;
  std::vector<double> stiffness_, mass_;
};

}  // namespace stillbox
