// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

// Dense algebra by LAPACK, which compiles in no time and runs faster than templates.

/// Eigenvalues, increasing, and their vectors as columns.
struct SymmetricPairs {
  Eigen::VectorXd values;
  Eigen::MatrixXd vectors;
};

/// All pairs of a symmetric matrix, of which the lower triangle is used; vectors orthonormal.
/// Errors: SolveError when the iteration fails or A is not finite.
SymmetricPairs symmetric_eigenpairs(Eigen::MatrixXd A);

/// Eigenvalues alone.
Eigen::VectorXd symmetric_eigenvalues(Eigen::MatrixXd A);

/// All pairs of K x = lambda M x for symmetric K and positive definite M, lower triangles used; X' M X = I.
/// Errors: SolveError when M is not positive definite or the iteration fails.
SymmetricPairs symmetric_eigenpairs(Eigen::MatrixXd K, Eigen::MatrixXd M);

/// Inverse of a symmetric positive definite matrix, both triangles; false, and A as it was, when it is not definite.
bool invert_definite(Eigen::MatrixXd &A);

/// x of A x = b for a square matrix, b of one or more columns. Errors: SolveError when A is singular to the last bit.
Eigen::MatrixXcd solve_dense(Eigen::MatrixXcd A, Eigen::MatrixXcd b);

/// All eigenvalues and right eigenvectors (columns of norm 1) of a square matrix.
/// Errors: SolveError when the iteration fails.
void dense_eigenpairs(Eigen::MatrixXcd A, Eigen::VectorXcd &values, Eigen::MatrixXcd &vectors);

/// All eigenvalues (increasing) and orthonormal eigenvectors of a Hermitian matrix, of which the lower triangle is
/// used. Errors: SolveError when the iteration fails.
void hermitian_eigenpairs(const Eigen::MatrixXcd &A, Eigen::VectorXd &values, Eigen::MatrixXcd &vectors);

}  // namespace stillbox
