// SPDX-License-Identifier: MIT
#include "solver/element_entry.h"

#include <dmumps_c.h>
#include <gtest/gtest.h>

#include <numeric>
#include <random>
#include <stdexcept>

#include "solver/mumps_factor.h"
#include "solver/sparse_factor.h"

namespace stillbox {
namespace {

// A chain of cells of four unknowns, each sharing two with the next one; indefinite.
constexpr int cells = 30, size = 4, shared = 2, unknowns = cells * (size - shared) + shared;

std::vector<std::vector<int>> chain() {
  std::vector<std::vector<int>> list;
  for (int c = 0; c < cells; ++c) {
    std::vector<int> cell(size);
    std::iota(cell.begin(), cell.end(), c * (size - shared));
    list.push_back(cell);
  }
  return list;
}

Eigen::MatrixXd dense_chain() {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> value(-1, 1);
  Eigen::MatrixXd A = Eigen::MatrixXd::Zero(unknowns, unknowns);
  for (const std::vector<int> &cell : chain())
    for (int i : cell)
      for (int j : cell)
        if (j <= i) A(i, j) = A(j, i) = value(random) + (i == j ? (i % 3 == 0 ? -4 : 4) : 0);
  return A;
}

SparseMatrix lower_of(const Eigen::MatrixXd &A) {
  SparseMatrix lower = Eigen::MatrixXd(A.triangularView<Eigen::Lower>()).sparseView();
  lower.makeCompressed();
  return lower;
}

}  // namespace

TEST(ElementEntry, SumsToTheMatrixAndLeavesOutPartsOfCells) {
  const Eigen::MatrixXd A = dense_chain();
  SparseMatrix lower = lower_of(A);
  std::vector<std::vector<int>> list = chain();
  list.push_back({4, 5});        // within a cell
  list.push_back(list.front());  // twice
  const ElementEntry entry = share_out(lower, list);
  ASSERT_EQ(int(entry.start.size()) - 1, cells);
  EXPECT_EQ(entry.values.size(), std::size_t(cells * size * (size + 1) / 2));
  EXPECT_EQ(lower.nonZeros(), 0);
  Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(unknowns, unknowns);
  std::size_t at = 0;
  for (std::size_t e = 0; e + 1 < entry.start.size(); ++e)
    for (int c = entry.start[e]; c < entry.start[e + 1]; ++c)
      for (int r = c; r < entry.start[e + 1]; ++r)
        sum(entry.unknowns[r - 1] - 1, entry.unknowns[c - 1] - 1) += entry.values[at++];
  EXPECT_EQ(at, entry.values.size());
  EXPECT_EQ((sum - Eigen::MatrixXd(A.triangularView<Eigen::Lower>())).cwiseAbs().maxCoeff(), 0);
}

TEST(ElementEntry, RefusesAnEntryOutsideAllCells) {
  Eigen::MatrixXd A = dense_chain();
  A(unknowns - 1, 0) = 1;
  SparseMatrix lower = lower_of(A);
  EXPECT_THROW(share_out(lower, chain()), std::logic_error);
}

// Against Eigen's dense solution and eigenvalues (general-purpose library).
TEST(ElementEntry, FactorSolvesAndCountsAsDenseAlgebraDoes) {
  const Eigen::MatrixXd A = dense_chain();
  std::vector<int> order(unknowns);
  std::iota(order.begin(), order.end(), 0);
  SparseMatrix lower = lower_of(A);
  const SparseFactor factor(lower, order, {}, false, chain());
  Eigen::MatrixXd x = Eigen::MatrixXd::Random(unknowns, 3);
  const Eigen::MatrixXd b = x;
  factor.solve(x);
  EXPECT_LT((A * x - b).norm(), 1e-10 * b.norm());
  const Eigen::VectorXd values = A.selfadjointView<Eigen::Lower>().eigenvalues();
  const int negatives = int((values.array() < 0).count());
  EXPECT_GT(negatives, 5);
  EXPECT_EQ(factor.negatives(), negatives);
}

// So long that the system takes its memory back at once: MUMPS must not look at it again.
TEST(ElementEntry, MayGoOnceItIsFactorised) {
  constexpr int n = 300000;
  ElementEntry entry;
  std::vector<int> order;
  for (int i = 1; i <= n; ++i) {
    entry.start.push_back(i + 1);
    entry.unknowns.push_back(i);
    entry.values.push_back(i % 7 == 0 ? -2 : 2);
    order.push_back(i);
  }
  MumpsFactor<DMUMPS_STRUC_C, dmumps_c> factor(false, 1e9);
  factor.factorise(n, entry, order.data());
  entry = {};
  order = {};
  give_back_freed_memory();
  EXPECT_EQ(factor.negatives(), n / 7);
  std::vector<double> x(n, 1);
  factor.solve(x.data(), n, 1);
  EXPECT_DOUBLE_EQ(x[0], 0.5);
  EXPECT_DOUBLE_EQ(x[6], -0.5);
}

}  // namespace stillbox
