// SPDX-License-Identifier: MIT
#pragma once
#include "solver/modes.h"

namespace stillbox {

/// The same as solve_spectrum of a model without matrices (prepare_model), by all processes of mpirun together: each
/// has its share of the cells and of K and M (PETSc), K - shift M is factorised over all (MUMPS), and SLEPc's
/// Krylov-Schur method finds as many modes below the shift as the inertia of the factor says there are. The shapes,
/// their signs settled, are on the first process only; frequencies, counts and residuals on all. Fills in masses and
/// bonds of `model.system`. To be called by all processes with the same model. Errors: SolveError, also for tetrahedra,
/// whose cells are not shared out.
Spectrum solve_spectrum_on_ranks(Model &model, const SolveOptions &options, SolveReport &report);

}  // namespace stillbox
