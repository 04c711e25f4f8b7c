// SPDX-License-Identifier: MIT
// The least-squares fit alone: against every active set of a linear problem, and on standard test functions.
#include "solver/bounded_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace stillbox {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// Independent answer of a linear problem: every way to hold unknowns at a bound or leave them free, the free ones by
// a QR decomposition; the feasible way of least residual is the minimum.
VectorXd by_enumeration(const MatrixXd &A, const VectorXd &b, const VectorXd &low, const VectorXd &high) {
  const int n = int(A.cols());
  VectorXd best;
  double least = std::numeric_limits<double>::infinity();
  for (int code = 0; code < int(std::pow(3, n) + 0.5); ++code) {
    VectorXd x = VectorXd::Zero(n);
    std::vector<int> free;
    for (int i = 0, c = code; i < n; ++i, c /= 3) {
      if (c % 3 == 0) free.push_back(i);
      if (c % 3 == 1) x[i] = low[i];
      if (c % 3 == 2) x[i] = high[i];
    }
    if (!free.empty()) {
      MatrixXd part(A.rows(), free.size());
      for (std::size_t a = 0; a < free.size(); ++a) part.col(a) = A.col(free[a]);
      const VectorXd solved = part.colPivHouseholderQr().solve(b - A * x);
      for (std::size_t a = 0; a < free.size(); ++a) x[free[a]] = solved[a];
    }
    if ((x.array() < low.array() - 1e-12).any() || (x.array() > high.array() + 1e-12).any()) continue;
    const double value = (A * x - b).squaredNorm();
    if (value < least) {
      least = value;
      best = x;
    }
  }
  return best;
}

TEST(BoundedFit, LinearProblemsWithActiveBoundsAgreeWithEveryActiveSet) {
  std::mt19937 random(7);
  std::normal_distribution<double> normal;
  int held = 0, free = 0;
  for (int trial = 0; trial < 60; ++trial) {
    const int n = 2 + trial % 4, m = n + 3;
    MatrixXd A = MatrixXd::NullaryExpr(m, n, [&] { return normal(random); });
    if (trial % 3 == 0) A.col(1) = A.col(0) + 0.05 * A.col(1);  // nearly the same column twice
    const VectorXd b = VectorXd::NullaryExpr(m, [&] { return 2 * normal(random); });
    const VectorXd low = VectorXd::Constant(n, -0.4), high = VectorXd::Constant(n, 0.5);
    const BoundedFit fit = bounded_fit(
        [&](const VectorXd &x, VectorXd &r, MatrixXd &J) {
          r = A * x - b;
          J = A;
        },
        VectorXd::Zero(n), low, high);
    const VectorXd expected = by_enumeration(A, b, low, high);
    EXPECT_TRUE(fit.converged) << trial;
    EXPECT_LT((fit.x - expected).cwiseAbs().maxCoeff(), 1e-7) << trial;
    for (int i = 0; i < n; ++i) {
      const bool on_it = expected[i] == low[i] || expected[i] == high[i];
      held += on_it;
      free += !on_it;
      EXPECT_EQ(fit.on_bound[i] != 0, on_it) << trial << ", " << i;
    }
  }
  EXPECT_GT(held, 30);  // the trials would prove little otherwise
  EXPECT_GT(free, 30);
}

void rosenbrock(const VectorXd &x, VectorXd &r, MatrixXd &J) {
  r.resize(2);
  J.resize(2, 2);
  r << 10 * (x[1] - x[0] * x[0]), 1 - x[0];
  J << -20 * x[0], 10, -1, 0;
}

// Rosenbrock's valley, minimum 0 at (1, 1); H.H. Rosenbrock, Computer J. 3, 175-184, 1960 (from memory).
TEST(BoundedFit, RosenbrocksValley) {
  const VectorXd wide = VectorXd::Constant(2, 100);
  const BoundedFit fit = bounded_fit(rosenbrock, Eigen::Vector2d(-1.2, 1), -wide, wide);
  EXPECT_TRUE(fit.converged);
  EXPECT_LT((fit.x - Eigen::Vector2d(1, 1)).norm(), 1e-7);
  EXPECT_LT(fit.evaluations, 60);
}

// With x <= 0.5 the minimum lies on that bound, at y = x^2 = 0.25: value (1 - 0.5)^2.
TEST(BoundedFit, RosenbrocksValleyBehindABound) {
  const Eigen::Vector2d low(-2, -2), high(0.5, 2);
  const BoundedFit fit = bounded_fit(rosenbrock, Eigen::Vector2d(-1.2, 1), low, high);
  EXPECT_NEAR(fit.x[0], 0.5, 1e-12);
  EXPECT_NEAR(fit.x[1], 0.25, 1e-7);
  EXPECT_NEAR(fit.sum_of_squares, 0.25, 1e-9);
  EXPECT_EQ(fit.on_bound[0], 1);
  EXPECT_EQ(fit.on_bound[1], 0);
}

// Along a direction that changes nothing the answer stays with the start: x0 - x1 is seen, x0 + x1 is not.
TEST(BoundedFit, WhatIsNotSeenStaysPut) {
  const BoundedFit fit = bounded_fit(
      [](const VectorXd &x, VectorXd &r, MatrixXd &J) {
        r = Eigen::Vector2d(x[0] - x[1] - 1, 2 * (x[0] - x[1] - 1));
        J.resize(2, 2);
        J << 1, -1, 2, -2;
      },
      Eigen::Vector2d(0, 0), Eigen::Vector2d(-3, -3), Eigen::Vector2d(3, 3));
  EXPECT_NEAR(fit.x[0] - fit.x[1], 1, 1e-6);
  EXPECT_NEAR(fit.x[0] + fit.x[1], 0, 1e-6);
}

}  // namespace
}  // namespace stillbox
