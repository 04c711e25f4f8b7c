// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/structure.h"
#include "solver/modes.h"
#include "tests/benchmark/figures.h"

namespace stillbox {

/// The modes up to each of these frequencies (Hz, best rising) on one and the same mesh, that of options.up_to: the
/// program's own steps without damping and files. Mesh and assembly are the same figures in each row, `whole` is the
/// sum of the phases, `processor` that of the phases from the factorisation on, `peak` since then too (where the system
/// can set its mark back, /proc/self/clear_refs). Errors: MeshError, SolveError.
std::vector<RunFigures> measure_modes_on_mesh(const Structure &structure, const SolveOptions &options,
                                              const std::vector<double> &up_to);

}  // namespace stillbox
