// SPDX-License-Identifier: MIT
#include "solver/scatter.h"

#include <algorithm>

namespace stillbox {

std::vector<std::vector<int>> lower_neighbours(const std::vector<CellUnknowns> &cells, int blocks) {
  std::vector<std::vector<int>> cells_at(blocks);
  for (std::size_t c = 0; c < cells.size(); ++c)
    for (int b : cells[c].blocks) cells_at[b].push_back(int(c));
  std::vector<std::vector<int>> lower(blocks);
  std::vector<int> last_seen(blocks, -1);
  for (int b = 0; b < blocks; ++b) {
    for (int c : cells_at[b])
      for (int other : cells[c].blocks)
        if (other <= b && last_seen[other] != b) {
          last_seen[other] = b;
          lower[b].push_back(other);
        }
    std::sort(lower[b].begin(), lower[b].end());
  }
  return lower;
}

Scatter::Scatter(const Unknowns &unknowns, const std::vector<std::vector<int>> &neighbours)
    : unknowns_(unknowns), neighbours_(neighbours) {
  const int blocks = int(neighbours.size());
  block_of_.resize(unknowns.count);
  row_start_.reserve(unknowns.count + 1);
  row_start_.push_back(0);
  column_offset_.resize(blocks);
  for (int b = 0; b < blocks; ++b) {
    int width = 0;
    for (int other : neighbours[b]) {
      column_offset_[b].push_back(width);
      width += unknowns.block_start[other + 1] - unknowns.block_start[other];
    }
    for (int i = unknowns.block_start[b]; i < unknowns.block_start[b + 1]; ++i) {
      block_of_[i] = b;
      for (int other : neighbours[b])
        for (int j = unknowns.block_start[other]; j < unknowns.block_start[other + 1] && j <= i; ++j)
          columns_.push_back(j);
      row_start_.push_back(int(columns_.size()));
    }
  }
  stiffness_.assign(columns_.size(), 0);
  mass_.assign(columns_.size(), 0);
}

std::size_t Scatter::place(int i, int j) const {
  if (i < j) std::swap(i, j);
  const int row_block = block_of_[i], column_block = block_of_[j];
  const auto &list = neighbours_[row_block];
  const auto at = std::lower_bound(list.begin(), list.end(), column_block) - list.begin();
  return std::size_t(row_start_[i]) + column_offset_[row_block][at] + (j - unknowns_.block_start[column_block]);
}

void Scatter::add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) {
  Eigen::MatrixXd reduced_K, reduced_M;
  const Eigen::MatrixXd *k = &K, *m = &M;
  std::vector<int> row_of(cell.list.size());  // list entry -> row of the matrices
  if (cell.plain) {
    for (std::size_t r = 0; r < cell.position.size(); ++r) row_of[cell.position[r]] = int(r);
  } else {
    reduced_K = cell.T.transpose() * K * cell.T;
    reduced_M = cell.T.transpose() * M * cell.T;
    k = &reduced_K;
    m = &reduced_M;
    for (std::size_t r = 0; r < row_of.size(); ++r) row_of[r] = int(r);
  }
  std::size_t row_at = 0;
  for (std::size_t bi = 0; bi < cell.blocks.size(); ++bi) {
    const int rows = unknowns_.block_start[cell.blocks[bi] + 1] - unknowns_.block_start[cell.blocks[bi]];
    std::size_t column_at = 0;
    for (std::size_t bj = 0; bj <= bi; ++bj) {
      const int columns = unknowns_.block_start[cell.blocks[bj] + 1] - unknowns_.block_start[cell.blocks[bj]];
      for (int r = 0; r < rows; ++r) {
        const int i = cell.list[row_at + r];
        const int limit = bi == bj ? r + 1 : columns;
        const std::size_t start = place(i, cell.list[column_at]);
        for (int c = 0; c < limit; ++c) {
          stiffness_[start + c] += (*k)(row_of[row_at + r], row_of[column_at + c]);
          mass_[start + c] += (*m)(row_of[row_at + r], row_of[column_at + c]);
        }
      }
      column_at += columns;
    }
    row_at += rows;
  }
}

void Scatter::finish(Eigen::SparseMatrix<double, Eigen::RowMajor, int> &stiffness,
                     Eigen::SparseMatrix<double, Eigen::RowMajor, int> &mass) {
  const int n = unknowns_.count;
  using Map = Eigen::Map<const Eigen::SparseMatrix<double, Eigen::RowMajor, int>>;
  stiffness = Map(n, n, int(columns_.size()), row_start_.data(), columns_.data(), stiffness_.data());
  std::vector<double>().swap(stiffness_);  // assigning {} would keep the memory
  mass = Map(n, n, int(columns_.size()), row_start_.data(), columns_.data(), mass_.data()).pruned(0.0, 0.0);
  std::vector<double>().swap(mass_);
  std::vector<int>().swap(columns_);
}

}  // namespace stillbox
