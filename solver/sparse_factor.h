// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <memory>
#include <vector>

#include "solver/assembly.h"

namespace stillbox {

/// Fill-reducing order of the unknowns by nested dissection (METIS) of the graph of blocks; unknowns from `end` on are
/// left out. Returns for each unknown its place in the elimination order, starting at 0.
std::vector<int> dissection_order(const System &system, const std::vector<int> &block_start, int end);

/// L D L' of a symmetric, possibly indefinite sparse matrix: unknowns of single cells by condense, the rest by MUMPS.
/// `negatives` is the number of negative pivots, which by Sylvester's law of inertia is the number of negative
/// eigenvalues. A factor above 256 MiB is kept in a scratch folder on disk (scratch_folder.h) and read back through
/// the file cache for each solution; in memory where there is no such folder.
class SparseFactor {
 public:
  /// Empties `lower`, as nothing else is as large. `inner_start` as in Unknowns; empty: none.
  /// `order` is that of the other unknowns. `cells`: lists of the other unknowns so that every entry lies within one
  /// (element_entry.h), which saves memory; empty when that is not known.
  /// Errors: SolveError when memory or disk runs out or the matrix is singular to working precision.
  SparseFactor(SparseMatrix &lower, const std::vector<int> &order, const std::vector<int> &inner_start = {},
               bool may_use_disk = true, std::vector<std::vector<int>> cells = {});
  ~SparseFactor();
  SparseFactor(const SparseFactor &) = delete;
  SparseFactor &operator=(const SparseFactor &) = delete;

  int negatives() const;
  /// What one solution reads twice, forwards and backwards: 8 bytes for each entry held, those of single cells counted.
  double bytes() const;
  /// Solves in place; x has one or more columns.
  void solve(Eigen::MatrixXd &x) const;

 private:
  struct Instance;
  std::unique_ptr<Instance> instance_;
};

}  // namespace stillbox
