// SPDX-License-Identifier: MIT
#include "solver/scatter.h"

#include <algorithm>
#include <cassert>
#include <stdexcept>

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

Scatter::Scatter(const Unknowns &unknowns, const std::vector<std::vector<int>> &neighbours, bool with_mass)
    : unknowns_(unknowns), neighbours_(neighbours), with_mass_(with_mass) {
  const int blocks = int(neighbours.size());
  const auto size_of = [&](int block) { return unknowns.block_start[block + 1] - unknowns.block_start[block]; };
  block_of_.resize(unknowns.count);
  column_offset_.resize(blocks);
  stiffness_.resize(unknowns.count, unknowns.count);
  int entries = 0;
  for (int b = 0; b < blocks; ++b) {
    int width = 0;
    bool is_there = false;  // a block that no cell touches has empty rows
    for (int other : neighbours[b]) {
      column_offset_[b].push_back(width);
      if (other < b)
        width += size_of(other);
      else
        is_there = true;
    }
    for (int i = 0; i < size_of(b); ++i) {
      block_of_[unknowns.block_start[b] + i] = b;
      stiffness_.outerIndexPtr()[unknowns.block_start[b] + i] = entries;
      if (is_there) entries += width + i + 1;
    }
  }
  stiffness_.outerIndexPtr()[unknowns.count] = entries;
  stiffness_.resizeNonZeros(entries);
  int *column = stiffness_.innerIndexPtr();
  for (int b = 0; b < blocks; ++b)
    for (int i = unknowns.block_start[b]; i < unknowns.block_start[b + 1]; ++i)
      for (int other : neighbours[b])
        for (int j = unknowns.block_start[other]; j < unknowns.block_start[other + 1] && j <= i; ++j) *column++ = j;
  std::fill_n(stiffness_.valuePtr(), entries, 0.0);
  if (with_mass_) make_mass_pattern();
}

void Scatter::make_mass_pattern() {
  constexpr char any = 3;
  std::vector<char> component(std::size_t(unknowns_.count), any);
  for (const auto &of_node : unknowns_.component)
    for (char i : {0, 1, 2})
      if (of_node[i] >= 0) component[of_node[i]] = i;
  const auto has_mass = [&](int i, int j) {
    return component[i] == component[j] || component[i] == any || component[j] == any;
  };
  const int *row_start = stiffness_.outerIndexPtr(), *column = stiffness_.innerIndexPtr();
  mass_.resize(unknowns_.count, unknowns_.count);
  int entries = 0;
  for (int r = 0; r < unknowns_.count; ++r) {
    mass_.outerIndexPtr()[r] = entries;
    for (int k = row_start[r]; k < row_start[r + 1]; ++k) entries += has_mass(r, column[k]);
  }
  mass_.outerIndexPtr()[unknowns_.count] = entries;
  mass_.resizeNonZeros(entries);
  int *mass_column = mass_.innerIndexPtr();
  for (int r = 0; r < unknowns_.count; ++r)
    for (int k = row_start[r]; k < row_start[r + 1]; ++k)
      if (has_mass(r, column[k])) *mass_column++ = column[k];
  std::fill_n(mass_.valuePtr(), entries, 0.0);
}

// The first place in a row of the mass matrix whose column is not below `first_column`.
int Scatter::mass_place(int row, int first_column) const {
  const int *columns = mass_.innerIndexPtr(), *start = mass_.outerIndexPtr();
  return int(std::lower_bound(columns + start[row], columns + start[row + 1], first_column) - columns);
}

void Scatter::add_mass(int i, int j, double value) {
  if (!with_mass_) return;
  if (i < j) std::swap(i, j);
  const int at = mass_place(i, j);
  if (at < mass_.outerIndexPtr()[i + 1] && mass_.innerIndexPtr()[at] == j)
    mass_.valuePtr()[at] += value;
  else if (value != 0)
    throw std::logic_error("a mass couples displacements across each other");
}

std::size_t Scatter::place(int i, int j) const {
  if (i < j) std::swap(i, j);
  const int row_block = block_of_[i], column_block = block_of_[j];
  const auto &list = neighbours_[row_block];
  const auto at = std::lower_bound(list.begin(), list.end(), column_block) - list.begin();
  return std::size_t(stiffness_.outerIndexPtr()[i]) + column_offset_[row_block][at] +
         (j - unknowns_.block_start[column_block]);
}

void Scatter::add(const CellUnknowns &cell, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M) {
  const bool has_mass = with_mass_ && M.size() > 0;
  Eigen::MatrixXd reduced_K, reduced_M;
  const Eigen::MatrixXd *k = &K, *m = &M;
  std::vector<int> row_of(cell.list.size());  // list entry -> row of the matrices
  if (cell.plain) {
    for (std::size_t r = 0; r < cell.position.size(); ++r) row_of[cell.position[r]] = int(r);
  } else {
    reduced_K = cell.T.transpose() * (K * cell.T);
    if (has_mass) reduced_M = cell.T.transpose() * (M * cell.T);
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
        for (int c = 0; c < limit; ++c)
          stiffness_.valuePtr()[start + c] += (*k)(row_of[row_at + r], row_of[column_at + c]);
        if (!has_mass) continue;
        int at = mass_place(i, cell.list[column_at]);
        for (int c = 0; c < limit; ++c) {
          if (at == mass_.outerIndexPtr()[i + 1] || mass_.innerIndexPtr()[at] != cell.list[column_at + c]) {
            assert((*m)(row_of[row_at + r], row_of[column_at + c]) == 0);  // across each other
            continue;
          }
          mass_.valuePtr()[at++] += (*m)(row_of[row_at + r], row_of[column_at + c]);
        }
      }
      column_at += columns;
    }
    row_at += rows;
  }
}

void copy_rows(int n, const int *row_start, const int *columns, const double *values, SparseMatrix &copy) {
  copy.resize(n, n);
  copy.resizeNonZeros(row_start[n]);
  std::copy(row_start, row_start + n + 1, copy.outerIndexPtr());
  std::copy(columns, columns + row_start[n], copy.innerIndexPtr());
  std::copy(values, values + row_start[n], copy.valuePtr());
}

void Scatter::finish(SparseMatrix &stiffness, SparseMatrix &mass) {
  mass.swap(mass_);
  stiffness.swap(stiffness_);
}

}  // namespace stillbox
