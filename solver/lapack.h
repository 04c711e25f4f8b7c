// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

// Dense complex algebra by LAPACK, which compiles in no time and runs faster than templates.

/// x of A x = b for a square matrix, b of one or more columns. Errors: SolveError when A is singular to the last bit.
Eigen::MatrixXcd solve_dense(Eigen::MatrixXcd A, Eigen::MatrixXcd b);

/// All eigenvalues and right eigenvectors (columns of norm 1) of a square matrix.
/// Errors: SolveError when the iteration fails.
void dense_eigenpairs(Eigen::MatrixXcd A, Eigen::VectorXcd &values, Eigen::MatrixXcd &vectors);

/// All eigenvalues (increasing) and orthonormal eigenvectors of a Hermitian matrix, of which the lower triangle is
/// used. Errors: SolveError when the iteration fails.
void hermitian_eigenpairs(const Eigen::MatrixXcd &A, Eigen::VectorXd &values, Eigen::MatrixXcd &vectors);

}  // namespace stillbox
