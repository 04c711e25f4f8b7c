// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"

namespace stillbox {

/// Which of the processes of mpirun has what: its own cells of the mesh, and for every node the rank whose rows it is.
struct CellShares {
  std::vector<int> own_cells;
  std::vector<int> node_rank;
};

/// Shares the cells out with as few common faces as possible (METIS) by a deal.II triangulation that lies distributed
/// over the processes, each with its own cells and a layer around them; nodes go with deal.II's degrees of freedom.
/// To be called by all processes, each with the same mesh. Errors: SolveError when they differ.
CellShares share_cells(const HexMesh &mesh, const Discretisation &d);

}  // namespace stillbox
