// SPDX-License-Identifier: MIT
#pragma once
#include "solver/modes.h"
#include "solver/petsc_held.h"
#include "solver/rank_rows.h"

namespace stillbox {

/// K and M of a model over all processes of mpirun, upper triangles (MATSBAIJ), each process with the rows of its
/// nodes.
struct RankMatrices {
  RankRows rows;
  HeldMatrix stiffness, mass;
};

/// Each process adds its own cells, the first one what is fixed to the boards and the bonds. The masses and volumes of
/// all go to `system`, whose matrices stay empty. Starts MPI and PETSc. Errors: SolveError.
void assemble_on_ranks(const Model &model, RankMatrices &matrices, System &system);

}  // namespace stillbox
