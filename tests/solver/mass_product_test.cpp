// SPDX-License-Identifier: MIT
// M with one number for the three motions of a node, against dense algebra (Eigen).
#include "solver/mass_product.h"

#include <gtest/gtest.h>

#include <random>

namespace stillbox {
namespace {

// A symmetric matrix of `nodes` nodes that does the same to each of three motions.
Eigen::MatrixXd by_nodes(int nodes, std::mt19937 &random) {
  std::uniform_real_distribution<double> uniform(0.1, 1);
  Eigen::MatrixXd M = Eigen::MatrixXd::Zero(3 * nodes, 3 * nodes);
  for (int a = 0; a < nodes; ++a)
    for (int b = std::max(0, a - 4); b <= a; ++b) {
      const double m = uniform(random);
      for (int i = 0; i < 3; ++i) M(3 * a + i, 3 * b + i) = M(3 * b + i, 3 * a + i) = m;
    }
  return M;
}

void expect_same_products(const Eigen::MatrixXd &M, std::mt19937 &random, int numbers_of_nodes) {
  const SparseMatrix lower = Eigen::MatrixXd(M.triangularView<Eigen::Lower>()).sparseView();
  const MassProduct product = make_mass_product(lower);
  EXPECT_EQ(product.nodes.nonZeros(), numbers_of_nodes);
  std::normal_distribution<double> normal;
  for (int columns : {1, 2, 8, 11}) {
    const Eigen::MatrixXd x = Eigen::MatrixXd::NullaryExpr(M.rows(), columns, [&] { return normal(random); });
    EXPECT_LT((multiply(product, x) - M * x).cwiseAbs().maxCoeff(), 1e-13) << columns;
  }
}

TEST(MassProduct, OneNumberForThreeMotions) {
  std::mt19937 random(3);
  expect_same_products(by_nodes(20, random), random, 5 * 20 - 4 - 3 - 2 - 1);
}

// A body that turns (a rigid basket) has a row of its own for each motion, and the nodes behind it meet it.
TEST(MassProduct, RowsThatAreNotAlikeStayAsTheyAre) {
  std::mt19937 random(4);
  Eigen::MatrixXd M = by_nodes(20, random);
  for (int i = 0; i < 6; ++i) M(30 + i, 30 + i) += 1 + i;
  M(31, 2) = M(2, 31) = 0.3;
  M(50, 50) += 2;
  expect_same_products(M, random, 5 * 20 - 4 - 3 - 2 - 1 - 3 * 5);
}

// Held motions leave a number of unknowns that is no multiple of three.
TEST(MassProduct, HeldMotions) {
  std::mt19937 random(5);
  const Eigen::MatrixXd M = by_nodes(20, random);
  expect_same_products(M.bottomRightCorner(59, 59), random, 0);
}

}  // namespace
}  // namespace stillbox
