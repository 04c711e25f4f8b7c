// SPDX-License-Identifier: MIT
#include "solver/condense.h"

#include <algorithm>
#include <cassert>

#include "mesh/structure.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

// Inverse of a symmetric block; counts its negative eigenvalues. Blocks are positive definite unless a cell is longer
// than the waves in it.
Eigen::MatrixXd inverse_of(const Eigen::MatrixXd &A, int &negatives) {
  const Eigen::LLT<Eigen::MatrixXd> cholesky(A);
  if (cholesky.info() == Eigen::Success) return cholesky.solve(Eigen::MatrixXd::Identity(A.rows(), A.rows()));
  const SymmetricPairs eigen = symmetric_eigenpairs(A);
  const Eigen::VectorXd &values = eigen.values;
  if (values.cwiseAbs().minCoeff() <= 1e-14 * values.cwiseAbs().maxCoeff())
    throw SolveError("the matrix is singular: a part moves without resistance at the chosen frequency limit");
  negatives += int((values.array() < 0).count());
  return eigen.vectors * values.cwiseInverse().asDiagonal() * eigen.vectors.transpose();
}

// S -= update on the rows and columns `list` (increasing); all of its places are in the pattern.
void subtract(SparseMatrix &S, const std::vector<int> &list, const Eigen::MatrixXd &update) {
  for (std::size_t r = 0; r < list.size(); ++r) {
    const int *column = S.innerIndexPtr() + S.outerIndexPtr()[list[r]];
    double *value = S.valuePtr() + S.outerIndexPtr()[list[r]];
    for (std::size_t c = 0; c <= r; ++c) {
      while (*column != list[c]) {
        ++column;
        ++value;
      }
      *value -= update(Eigen::Index(r), Eigen::Index(c));
    }
  }
}

}  // namespace

std::vector<InnerBlock> condense(SparseMatrix &lower, const std::vector<int> &inner_start, int &negatives) {
  std::vector<InnerBlock> blocks;
  const int outer = inner_start.front();
  lower.makeCompressed();
  for (std::size_t k = 0; k + 1 < inner_start.size(); ++k) {
    InnerBlock block;
    block.start = inner_start[k];
    const int size = block.size = inner_start[k + 1] - block.start;
    for (int i = 0; i < size; ++i)
      for (SparseMatrix::InnerIterator it(lower, block.start + i); it && it.col() < outer; ++it)
        block.outer.push_back(int(it.col()));
    std::sort(block.outer.begin(), block.outer.end());
    block.outer.erase(std::unique(block.outer.begin(), block.outer.end()), block.outer.end());
    block.outer.shrink_to_fit();  // it held each unknown once for each of the cell
    Eigen::MatrixXd own = Eigen::MatrixXd::Zero(size, size);
    Eigen::MatrixXd across = Eigen::MatrixXd::Zero(size, Eigen::Index(block.outer.size()));
    for (int i = 0; i < size; ++i) {
      std::size_t at = 0;
      for (SparseMatrix::InnerIterator it(lower, block.start + i); it; ++it) {
        const int column = int(it.col());
        if (column < outer) {
          while (block.outer[at] != column) ++at;
          across(i, Eigen::Index(at)) = it.value();
        } else {
          assert(column >= block.start);
          own(i, column - block.start) = own(column - block.start, i) = it.value();
        }
      }
    }
    block.inverse = inverse_of(own, negatives);
    block.coupling.noalias() = block.inverse * across;
    subtract(lower, block.outer, across.transpose() * block.coupling);
    blocks.push_back(std::move(block));
  }
  // The first rows as a matrix of their own; they are the first part of the arrays.
  SparseMatrix rest;
  copy_rows(outer, lower.outerIndexPtr(), lower.innerIndexPtr(), lower.valuePtr(), rest);
  lower.swap(rest);
  return blocks;
}

void reduce_load(const std::vector<InnerBlock> &blocks, Eigen::MatrixXd &x) {
  for (const InnerBlock &block : blocks) {
    const Eigen::MatrixXd change = block.coupling.transpose() * x.middleRows(block.start, block.size);
    for (std::size_t b = 0; b < block.outer.size(); ++b) x.row(block.outer[b]) -= change.row(Eigen::Index(b));
  }
}

void recover_inner(const std::vector<InnerBlock> &blocks, Eigen::MatrixXd &x) {
  for (const InnerBlock &block : blocks) {
    Eigen::MatrixXd outer(Eigen::Index(block.outer.size()), x.cols());
    for (std::size_t b = 0; b < block.outer.size(); ++b) outer.row(Eigen::Index(b)) = x.row(block.outer[b]);
    const Eigen::MatrixXd own = x.middleRows(block.start, block.size);
    x.middleRows(block.start, block.size).noalias() = block.inverse * own - block.coupling * outer;
  }
}

}  // namespace stillbox
