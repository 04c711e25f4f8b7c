// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <memory>
#include <vector>

#include "solver/assembly.h"

namespace stillbox {

/// Fill-reducing order of the unknowns by nested dissection (METIS) of the graph of blocks.
/// Returns for each unknown its place in the elimination order, starting at 0.
std::vector<int> dissection_order(const System &system, const std::vector<int> &block_start);

/// L D L' of a symmetric, possibly indefinite sparse matrix (MUMPS). `negatives` is the number of negative pivots,
/// which by Sylvester's law of inertia is the number of negative eigenvalues.
class SparseFactor {
 public:
  /// Errors: SolveError when memory runs out or the matrix is singular to working precision.
  SparseFactor(const SparseMatrix &lower, const std::vector<int> &order);
  ~SparseFactor();
  SparseFactor(const SparseFactor &) = delete;
  SparseFactor &operator=(const SparseFactor &) = delete;

  int negatives() const;
  double factor_entries() const;  ///< number of entries of L
  /// Solves in place; x has one or more columns.
  void solve(Eigen::MatrixXd &x) const;

 private:
  struct Instance;
  std::unique_ptr<Instance> instance_;
};

}  // namespace stillbox
