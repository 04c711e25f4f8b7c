// SPDX-License-Identifier: MIT
// Complex columns as real ones, against complex algebra (Eigen).
#include "solver/complex_columns.h"

#include <gtest/gtest.h>

namespace stillbox {
namespace {

using Eigen::MatrixXcd;
using Eigen::MatrixXd;

struct ComplexColumns : testing::Test {
  MatrixXcd x = MatrixXcd::Random(5000, 4);
  Eigen::VectorXcd factors = Eigen::VectorXcd::Random(4);
  static void expect_equal(const MatrixXcd &a, const MatrixXcd &b) {
    ASSERT_EQ(a.rows(), b.rows());
    ASSERT_EQ(a.cols(), b.cols());
    EXPECT_LT((a - b).cwiseAbs().maxCoeff(), 1e-12 * (1 + b.cwiseAbs().maxCoeff()));
  }
};

TEST_F(ComplexColumns, ThereAndBack) {
  expect_equal(complex_of(parts_of(x)), x);
  expect_equal(complex_of(some_columns(parts_of(x), 1, 2)), x.middleCols(1, 2));
}

TEST_F(ComplexColumns, Products) {
  expect_equal(complex_of(scaled_columns(parts_of(x), factors)), x * factors.asDiagonal());
}

}  // namespace
}  // namespace stillbox
