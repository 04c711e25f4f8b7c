// SPDX-License-Identifier: MIT
#include "solver/rank_rows.h"

#include <algorithm>

namespace stillbox {

RankRows make_rank_rows(const Unknowns &u, const std::vector<int> &node_rank, int rank, int ranks) {
  RankRows rows;
  const std::size_t blocks = u.block_start.size() - 1;
  rows.rank_of_block.assign(blocks, 0);
  for (std::size_t node = 0; node < u.node_block.size(); ++node)
    if (u.node_block[node] >= 0 && u.node_body[node] < 0) rows.rank_of_block[u.node_block[node]] = node_rank[node];
  std::vector<int> next(std::size_t(ranks) + 1, 0);
  for (std::size_t b = 0; b < blocks; ++b) next[rows.rank_of_block[b] + 1] += u.block_start[b + 1] - u.block_start[b];
  for (int r = 0; r < ranks; ++r) next[r + 1] += next[r];
  rows.first = next[rank];
  rows.row_of.resize(u.count);
  for (std::size_t b = 0; b < blocks; ++b)
    for (int i = u.block_start[b]; i < u.block_start[b + 1]; ++i) {
      rows.row_of[i] = next[rows.rank_of_block[b]]++;
      if (rows.rank_of_block[b] == rank) rows.own.push_back(i);
    }
  return rows;
}

PatternLengths pattern_lengths(const Unknowns &u, const RankRows &rows, const std::vector<std::vector<int>> &cells,
                               int rank) {
  constexpr char any = 3;  // the motions of a rigid basket
  std::vector<char> component(std::size_t(u.count), any);
  for (const auto &of_node : u.component)
    for (char k : {0, 1, 2})
      if (of_node[k] >= 0) component[of_node[k]] = k;
  std::vector<std::vector<int>> cells_at(rows.rank_of_block.size());
  for (std::size_t c = 0; c < cells.size(); ++c)
    for (int b : cells[c])
      if (rows.rank_of_block[b] == rank) cells_at[b].push_back(int(c));
  PatternLengths lengths;
  std::vector<int> seen(rows.rank_of_block.size(), -1), columns;
  int block = -1;
  for (const int i : rows.own) {
    while (block < 0 || i >= u.block_start[block + 1]) {  // the next block of this rank: its columns in both triangles
      ++block;
      columns.clear();
      for (const int c : cells_at[block])
        for (const int other : cells[c])
          if (seen[other] != block) {
            seen[other] = block;
            for (int j = u.block_start[other]; j < u.block_start[other + 1]; ++j) columns.push_back(j);
          }
    }
    int count[2][2] = {};  // of the stiffness, the mass; in own columns, others'
    for (const int j : columns) {
      if (rows.row_of[j] < rows.row_of[i]) continue;
      const bool is_own = rows.row_of[j] >= rows.first && rows.row_of[j] < rows.first + int(rows.own.size());
      ++count[0][is_own];
      if (component[i] == component[j] || component[i] == any || component[j] == any) ++count[1][is_own];
    }
    lengths.stiffness.own.push_back(std::max(1, count[0][1]));
    lengths.stiffness.others.push_back(count[0][0]);
    lengths.mass.own.push_back(std::max(1, count[1][1]));
    lengths.mass.others.push_back(count[1][0]);
  }
  return lengths;
}

}  // namespace stillbox
