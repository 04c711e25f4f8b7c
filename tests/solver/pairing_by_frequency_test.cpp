// SPDX-License-Identifier: MIT
#include "solver/pairing_by_frequency.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace stillbox {
namespace {

using Eigen::MatrixXd;
constexpr double never = std::numeric_limits<double>::infinity();

// Every assignment there is, by recursion.
double least_cost(const MatrixXd &cost, double alone, int row, unsigned used) {
  if (row == cost.rows()) return 0;
  double least = alone + least_cost(cost, alone, row + 1, used);
  for (int j = 0; j < cost.cols(); ++j)
    if (!(used >> j & 1u) && std::isfinite(cost(row, j)))
      least = std::min(least, cost(row, j) + least_cost(cost, alone, row + 1, used | 1u << j));
  return least;
}

TEST(PairingByFrequency, LeastOfAllAssignments) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> uniform(0, 2);
  for (int trial = 0; trial < 100; ++trial) {
    const int rows = 1 + trial % 5, columns = trial % 7;
    MatrixXd cost = MatrixXd::NullaryExpr(rows, columns, [&] {
      const double c = uniform(random);
      return c > 1.4 ? never : c;
    });
    const Assignment a = best_assignment(cost, 1.1);
    EXPECT_NEAR(a.cost, least_cost(cost, 1.1, 0, 0), 1e-9) << trial;
    double sum = 0;
    std::vector<int> taken(columns, 0);
    for (int i = 0; i < rows; ++i) {
      sum += a.column_of[i] < 0 ? 1.1 : cost(i, a.column_of[i]);
      if (a.column_of[i] < 0) continue;
      EXPECT_EQ(taken[a.column_of[i]]++, 0);
    }
    EXPECT_NEAR(sum, a.cost, 1e-9);
    for (int i = 0; i < rows; ++i) {
      const Assignment other = best_assignment_without(cost, 1.1, a, i);
      EXPECT_GE(other.cost, a.cost - 1e-9);
      const bool there = std::isfinite(other.cost);
      EXPECT_TRUE(!there || other.column_of[i] != a.column_of[i]);
    }
  }
}

// Taking the nearest first would pair 100 with 101 and leave 103 to be paired with 96, far off.
TEST(PairingByFrequency, IsNotGreedy) {
  const double heard[] = {100, 103}, computed[] = {96, 101};
  MatrixXd cost(2, 2);
  for (int i = 0; i < 2; ++i)
    for (int j = 0; j < 2; ++j) cost(i, j) = std::pow(std::log(heard[i] / computed[j]) / 0.05, 2);
  const Assignment a = best_assignment(cost, 2);
  EXPECT_EQ(a.column_of, (std::vector<int>{0, 1}));
}

TEST(PairingByFrequency, NothingToPairWith) {
  const Assignment a = best_assignment(MatrixXd(3, 0), 1);
  EXPECT_EQ(a.column_of, (std::vector<int>{-1, -1, -1}));
  EXPECT_NEAR(a.cost, 3, 1e-12);
  EXPECT_TRUE(best_assignment(MatrixXd(0, 4), 1).column_of.empty());
}

}  // namespace
}  // namespace stillbox
