// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"
#include "solver/scatter.h"
#include "solver/unknowns.h"

namespace stillbox {

/// Adds what is fixed to the boards: drivers (spread over the rim, or on the rigid body of the basket), masses spread
/// over a rectangle of a face, point masses, and the springs of feet. `total` returns the added mass in kg.
/// Errors: SolveError when a mass or foot lies where there is no wood.
void add_fittings(const Structure &structure, const HexMesh &mesh, const Discretisation &d, const Unknowns &unknowns,
                  const std::vector<CellUnknowns> &cells, MatrixSink &sink, double &total);

}  // namespace stillbox
