// SPDX-License-Identifier: MIT
#include "solver/fit_quality.h"

#include <gtest/gtest.h>

#include <cmath>

namespace stillbox {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// A straight line a + b x through m points of standard deviation s: var a = s^2 sum x^2 / D, var b = s^2 m / D,
// cov = -s^2 sum x / D, D = m sum x^2 - (sum x)^2 (any text on statistics).
TEST(FitQuality, StraightLine) {
  const VectorXd x = VectorXd::LinSpaced(6, 0.1, 0.6);
  const double s = 0.02, m = 6, sx = x.sum(), sxx = x.squaredNorm(), D = m * sxx - sx * sx;
  MatrixXd J(6, 2);
  J << VectorXd::Ones(6) / s, x / s;
  VectorXd r = VectorXd::Constant(6, 0.5);
  const FitQuality q = judge_fit(J, r, Eigen::VectorXi::Zero(2), VectorXd::Constant(2, 1e6));
  EXPECT_NEAR(q.standard_error[0], s * std::sqrt(sxx / D), 1e-12);
  EXPECT_NEAR(q.standard_error[1], s * std::sqrt(m / D), 1e-12);
  EXPECT_NEAR(q.correlation(0, 1), -sx / std::sqrt(m * sxx), 1e-9);
  EXPECT_EQ(q.freedom, 4);
  EXPECT_NEAR(q.chi_squared, 1.5, 1e-12);
  EXPECT_DOUBLE_EQ(q.widened, 1);
  EXPECT_TRUE(q.blind.empty());
  // Residuals twice as large as stated widen the errors by Birge's ratio.
  r.setConstant(4);
  const FitQuality wide = judge_fit(J, r, Eigen::VectorXi::Zero(2), VectorXd::Constant(2, 1e6));
  EXPECT_NEAR(wide.widened, std::sqrt(96.0 / 4), 1e-12);
  EXPECT_NEAR(wide.standard_error[1] / q.standard_error[1], wide.widened, 1e-12);
  EXPECT_TRUE(wide.misses());
  // Held on a bound one unknown is no longer uncertain and the other less so.
  const FitQuality held = judge_fit(J, VectorXd::Zero(6), Eigen::Vector2i(1, 0), VectorXd::Constant(2, 1e6));
  EXPECT_EQ(held.standard_error[0], 0);
  EXPECT_NEAR(held.standard_error[1], s / std::sqrt(sxx), 1e-12);
  EXPECT_TRUE(std::isnan(held.correlation(0, 1)));
  EXPECT_EQ(held.freedom, 5);
}

TEST(FitQuality, BlindDirections) {
  MatrixXd J(3, 3);
  J << 50, -50, 0, 40, -40, 10, 30, -30, -20;
  const FitQuality q = judge_fit(J, VectorXd::Zero(3), Eigen::VectorXi::Zero(3), VectorXd::Constant(3, 1.4));
  ASSERT_EQ(q.blind.size(), 1u);
  EXPECT_FALSE(std::isfinite(q.blind[0].sd));
  EXPECT_NEAR(q.blind[0].direction[0], std::sqrt(0.5), 1e-9);
  EXPECT_NEAR(q.blind[0].direction[1], std::sqrt(0.5), 1e-9);
  EXPECT_NEAR(q.blind[0].direction[2], 0, 1e-9);
  EXPECT_FALSE(q.is_determined[0]);
  EXPECT_FALSE(q.is_determined[1]);
  EXPECT_TRUE(q.is_determined[2]);
  EXPECT_NEAR(q.standard_error[2], 1 / std::sqrt(500.0), 2e-3);
  EXPECT_GT(q.correlation(0, 1), 0.99);
  EXPECT_EQ(q.freedom, 1);
}

// Tabled 99 % points: 6.635, 15.086, 23.209, 50.892 for 1, 5, 10, 30 degrees of freedom (from memory).
TEST(FitQuality, ChiSquaredTable) {
  EXPECT_NEAR(chi_squared_99(1) / 6.635, 1, 0.01);
  EXPECT_NEAR(chi_squared_99(5) / 15.086, 1, 0.004);
  EXPECT_NEAR(chi_squared_99(10) / 23.209, 1, 0.002);
  EXPECT_NEAR(chi_squared_99(30) / 50.892, 1, 0.001);
}

}  // namespace
}  // namespace stillbox
