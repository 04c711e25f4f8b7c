// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/scatter.h"

namespace stillbox {

/// A symmetric sparse matrix as a sum of small dense ones, as MUMPS takes it: `start[e]` is where the unknowns of
/// element e begin in `unknowns`, both counted from 1; `values` holds the lower triangles column by column. Where the
/// unknowns of a cell are all coupled to each other this takes a third of the memory of a list of rows, columns and
/// values, here and within MUMPS.
struct ElementEntry {
  std::vector<int> start{1}, unknowns;
  std::vector<double> values;
};

/// The lower triangle `lower` shared out to `cells`: lists of unknowns, each increasing and all below the number of
/// rows. Each entry goes to the first cell that holds both of its unknowns; cells that lie wholly within another are
/// left out. Empties `lower`. Errors: std::logic_error when an entry that is not zero is in no cell.
ElementEntry share_out(SparseMatrix &lower, std::vector<std::vector<int>> cells);

/// The unknowns below `end` of each list of blocks.
std::vector<std::vector<int>> unknowns_of_blocks(const std::vector<std::vector<int>> &cells,
                                                 const std::vector<int> &block_start, int end);

}  // namespace stillbox
