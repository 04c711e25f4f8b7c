// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/bonds.h"
#include "solver/cell_shares.h"
#include "solver/unknowns.h"

namespace stillbox {

/// The matrices' rows under MPI: those of one rank lie together, in the order of the unknowns. Blocks are not divided.
struct RankRows {
  std::vector<int> row_of;         ///< unknown -> row
  std::vector<int> rank_of_block;  ///< of Unknowns
  std::vector<int> own;            ///< unknowns of this rank, increasing; their rows are first, first + 1, ...
  int first = 0;
};

/// Nodes' unknowns go with the nodes, rigid baskets to the first rank.
RankRows make_rank_rows(const Unknowns &unknowns, const std::vector<int> &node_rank, int rank, int ranks);

/// How many entries the own rows of an upper triangle have in own columns and in those of other ranks.
struct RowLengths {
  std::vector<int> own, others;
};
struct PatternLengths {
  RowLengths stiffness, mass;  ///< the mass has no entries between displacements across each other
};

/// `cells`: blocks of each cell and bond; two unknowns are coupled when they share one.
PatternLengths pattern_lengths(const Unknowns &unknowns, const RankRows &rows,
                               const std::vector<std::vector<int>> &cells, int rank);

}  // namespace stillbox
