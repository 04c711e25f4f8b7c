// SPDX-License-Identifier: MIT
#include "solver/element_entry.h"

#include <algorithm>
#include <stdexcept>

namespace stillbox {
namespace {

// Leaves out lists that lie wholly within another one.
std::vector<std::vector<int>> without_parts(std::vector<std::vector<int>> cells, int unknowns) {
  std::sort(cells.begin(), cells.end());
  cells.erase(std::unique(cells.begin(), cells.end()), cells.end());
  std::vector<std::vector<int>> cells_at(unknowns);
  for (std::size_t c = 0; c < cells.size(); ++c)
    for (int i : cells[c]) cells_at[i].push_back(int(c));
  std::vector<std::vector<int>> kept;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    const std::vector<int> &cell = cells[c];
    if (cell.empty()) continue;
    const std::vector<int> &others = cells_at[cell.front()];
    const bool is_part = std::any_of(others.begin(), others.end(), [&](int other) {
      return other != int(c) && std::includes(cells[other].begin(), cells[other].end(), cell.begin(), cell.end());
    });
    if (!is_part) kept.push_back(cell);
  }
  return kept;
}

}  // namespace

std::vector<std::vector<int>> unknowns_of_blocks(const std::vector<std::vector<int>> &cells,
                                                 const std::vector<int> &block_start, int end) {
  std::vector<std::vector<int>> lists;
  for (const std::vector<int> &blocks : cells) {
    std::vector<int> list;
    for (int b : blocks)
      for (int i = block_start[b]; i < block_start[b + 1] && i < end; ++i) list.push_back(i);
    std::sort(list.begin(), list.end());
    lists.push_back(std::move(list));
  }
  return lists;
}

ElementEntry share_out(SparseMatrix &lower, std::vector<std::vector<int>> cells) {
  cells = without_parts(std::move(cells), int(lower.rows()));
  ElementEntry entry;
  std::size_t values = 0;
  for (const std::vector<int> &cell : cells) values += cell.size() * (cell.size() + 1) / 2;
  entry.values.reserve(values);
  for (const std::vector<int> &cell : cells) {
    const std::size_t n = cell.size(), first = entry.values.size();
    entry.values.resize(first + n * (n + 1) / 2);
    for (std::size_t r = 0; r < n; ++r) {
      const int row_end = lower.outerIndexPtr()[cell[r] + 1];
      int at = lower.outerIndexPtr()[cell[r]];
      for (std::size_t c = 0; c <= r; ++c) {
        while (at < row_end && lower.innerIndexPtr()[at] < cell[c]) ++at;
        if (at == row_end || lower.innerIndexPtr()[at] != cell[c]) continue;
        entry.values[first + c * n - c * (c + 1) / 2 + r] = lower.valuePtr()[at];
        lower.valuePtr()[at] = 0;
      }
    }
    for (int i : cell) entry.unknowns.push_back(i + 1);
    entry.start.push_back(int(entry.unknowns.size()) + 1);
  }
  for (Eigen::Index i = 0; i < lower.nonZeros(); ++i)
    if (lower.valuePtr()[i] != 0) throw std::logic_error("an entry of the matrix belongs to no cell");
  SparseMatrix().swap(lower);
  return entry;
}

}  // namespace stillbox
