// SPDX-License-Identifier: MIT
#pragma once
#include "solver/assembly.h"

namespace stillbox {

/// M of a structure, for many products. A node's mass is the same along all three axes, so one number in three is kept,
/// and one place in nine is read; rows for which that is not so (rigid baskets, held motions) are kept as they are.
struct MassProduct {
  SparseMatrix nodes;  ///< lower triangle, a row for three unknowns
  SparseMatrix rest;   ///< lower triangle, rows that are not in `nodes`
};

MassProduct make_mass_product(const SparseMatrix &mass);

/// M x.
Eigen::MatrixXd multiply(const MassProduct &mass, const Eigen::MatrixXd &x);

}  // namespace stillbox
