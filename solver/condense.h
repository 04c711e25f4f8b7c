// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/assembly.h"

namespace stillbox {

/// Unknowns of one cell that no other cell shares, taken out of a symmetric matrix A by elimination:
/// S = A_bb - A_bi A_ii^-1 A_ib on the others. Exact, not an approximation.
struct InnerBlock {
  int start = 0, size = 0;   ///< first unknown, how many
  std::vector<int> outer;    ///< the unknowns b that they are coupled to
  Eigen::MatrixXd inverse;   ///< A_ii^-1
  Eigen::MatrixXd coupling;  ///< A_ii^-1 A_ib
};

/// Unknowns from inner_start.front() on fall into blocks [inner_start[k], inner_start[k + 1]) that are not coupled to
/// each other. `lower` (lower triangle) becomes S, with the pattern it had there; `negatives` counts the negative
/// eigenvalues of all A_ii, which with those of S are the inertia of A (Haynsworth's inertia additivity).
/// Errors: SolveError when a block is singular.
std::vector<InnerBlock> condense(SparseMatrix &lower, const std::vector<int> &inner_start, int &negatives);

/// Before and after the solution with S: x_b -= A_bi A_ii^-1 x_i; then x_i = A_ii^-1 x_i - A_ii^-1 A_ib x_b.
void reduce_load(const std::vector<InnerBlock> &blocks, Eigen::MatrixXd &x);
void recover_inner(const std::vector<InnerBlock> &blocks, Eigen::MatrixXd &x);

}  // namespace stillbox
