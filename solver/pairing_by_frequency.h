// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

namespace stillbox {

/// Which column goes with which row, each at most once, and the sum of the costs.
struct Assignment {
  std::vector<int> column_of;  ///< one per row, -1 where the row is left alone
  double cost = 0;
};

/// The assignment of least total cost: cost(i, j) for a pair (infinite: not allowed), `alone` for a row without a
/// column. Optimal, not greedy. Errors of use (NaN, a cost of minus infinity) are ours.
/// Source: the Hungarian method with potentials and shortest augmenting paths; H.W. Kuhn, Naval Res. Logist. 2, 83-97,
/// 1955; R. Jonker, A. Volgenant, Computing 38, 325-340, 1987 (both from memory). Time rows^2 (rows + columns).
Assignment best_assignment(const Eigen::MatrixXd &cost, double alone);

/// For a row: the best assignment in which that row has another partner than in `best` (or none).
Assignment best_assignment_without(const Eigen::MatrixXd &cost, double alone, const Assignment &best, int row);

}  // namespace stillbox
