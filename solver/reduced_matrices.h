// SPDX-License-Identifier: MIT
#pragma once
#include "solver/assembly.h"

namespace stillbox {

/// V' K V and V' M V for a few columns V.
struct ReducedMatrices {
  Eigen::MatrixXd stiffness, mass;
  double wood_volume = 0;  ///< m3, by quadrature over the cells
};

/// The matrices of `assemble`, reduced cell by cell without ever being put together: for many columns that takes less
/// than assembling and multiplying. On two threads; the sums do not depend on how many processors there are.
/// V: unknowns x columns. Errors: SolveError as for assemble.
ReducedMatrices reduced_matrices(const Structure &structure, const HexMesh &mesh, const Discretisation &d,
                                 const Unknowns &unknowns, const CellLaws &laws, const Eigen::MatrixXd &V);

/// Of these V' K V alone, in less time.
Eigen::MatrixXd reduced_stiffness(const Structure &structure, const HexMesh &mesh, const Discretisation &d,
                                  const Unknowns &unknowns, const CellLaws &laws, const Eigen::MatrixXd &V);

}  // namespace stillbox
