// SPDX-License-Identifier: MIT
#include "solver/pairing_by_frequency.h"

#include <cassert>
#include <cmath>
#include <limits>

namespace stillbox {
namespace {

constexpr double never = 1e9;  // dearer than any sum of real costs

}  // namespace

Assignment best_assignment(const Eigen::MatrixXd &cost, double alone) {
  const int rows = int(cost.rows()), real = int(cost.cols()), columns = real + rows;
  // Row i may also take column real + i, which stands for being alone.
  const auto at = [&](int i, int j) {
    if (j >= real) return j == real + i ? alone : never;
    assert(!std::isnan(cost(i, j)) && cost(i, j) > -never);
    return std::min(cost(i, j), never);
  };
  constexpr double infinite = std::numeric_limits<double>::infinity();
  std::vector<double> row_price(rows + 1, 0), column_price(columns + 1, 0);
  std::vector<int> row_of(columns + 1, 0), way(columns + 1, 0);  // counted from 1, 0 is none
  for (int i = 1; i <= rows; ++i) {
    row_of[0] = i;
    int j0 = 0;
    std::vector<double> least(columns + 1, infinite);
    std::vector<char> used(columns + 1, 0);
    do {
      used[j0] = 1;
      const int i0 = row_of[j0];
      double delta = infinite;
      int j1 = 0;
      for (int j = 1; j <= columns; ++j) {
        if (used[j]) continue;
        const double reduced = at(i0 - 1, j - 1) - row_price[i0] - column_price[j];
        if (reduced < least[j]) {
          least[j] = reduced;
          way[j] = j0;
        }
        if (least[j] < delta) {
          delta = least[j];
          j1 = j;
        }
      }
      for (int j = 0; j <= columns; ++j) {
        if (used[j]) {
          row_price[row_of[j]] += delta;
          column_price[j] -= delta;
        } else {
          least[j] -= delta;
        }
      }
      j0 = j1;
    } while (row_of[j0] != 0);
    do {
      const int j1 = way[j0];
      row_of[j0] = row_of[j1];
      j0 = j1;
    } while (j0);
  }
  Assignment result;
  result.column_of.assign(rows, -1);
  for (int j = 1; j <= columns; ++j) {
    if (row_of[j] == 0) continue;
    const int i = row_of[j] - 1;
    result.cost += at(i, j - 1);
    if (j <= real) result.column_of[i] = j - 1;
  }
  return result;
}

Assignment best_assignment_without(const Eigen::MatrixXd &cost, double alone, const Assignment &best, int row) {
  Eigen::MatrixXd other = cost;
  if (best.column_of[row] >= 0) {
    other(row, best.column_of[row]) = std::numeric_limits<double>::infinity();
    return best_assignment(other, alone);
  }
  // A row that was alone must now take a column: the cheapest way to that.
  Assignment least;
  least.cost = std::numeric_limits<double>::infinity();
  for (int j = 0; j < cost.cols(); ++j) {
    if (!std::isfinite(cost(row, j))) continue;
    Eigen::MatrixXd forced = cost;
    forced.row(row).setConstant(std::numeric_limits<double>::infinity());
    forced(row, j) = cost(row, j) - 1e6;  // taken whatever else it costs
    Assignment a = best_assignment(forced, alone);
    a.cost += 1e6;
    if (a.cost < least.cost) least = a;
  }
  return least;
}

}  // namespace stillbox
