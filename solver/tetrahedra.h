// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/tet_mesh.h"
#include "solver/discretisation.h"

namespace stillbox {

/// The same for tetrahedra: nodes as the mesher placed them, rims of cut-outs found by their place.
Discretisation discretise(const TetMesh &mesh, const Structure &structure);

/// True where a place lies on the side of a cut-out through its board, within 0.2 % of its lesser extent.
bool is_on_rim(const Board &board, const CutOut &cut_out, const Eigen::Vector3d &x);

/// Monomials x nodes, N_a = sum_m monomial_m basis(m, a), for nodes at these places of the unit tetrahedron.
Eigen::MatrixXd tetrahedron_basis(int degree, const Eigen::Matrix<double, Eigen::Dynamic, 3> &reference);

/// Points (x, y, z) and weights over the unit tetrahedron, sum 1/6, all positive, exact for polynomials of degree
/// 2 n - 1: the product of Gauss-Jacobi rules in collapsed coordinates, n^3 points.
/// Source: A.H. Stroud, Approximate Calculation of Multiple Integrals, 1971, sec. 2.2 (from memory).
struct TetRule {
  Eigen::Matrix<double, Eigen::Dynamic, 3> points;
  Eigen::VectorXd weights;
};
TetRule tetrahedron_rule(int n);

/// The monomials x^i y^j z^k with i + j + k <= degree at a point, and their slopes (monomials x 3).
Eigen::VectorXd monomials(int degree, const Eigen::Vector3d &xi);
Eigen::Matrix<double, Eigen::Dynamic, 3> monomial_slopes(int degree, const Eigen::Vector3d &xi);

}  // namespace stillbox
