// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <stdexcept>
#include <vector>

#include "mesh/hex_mesh.h"

namespace stillbox {

/// The solver gives up; the text says why and what to try.
struct SolveError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

enum class CellShape { hexahedron, tetrahedron };

/// Finite element nodes and cells of one polynomial degree. The geometry is isoparametric: a point of a cell is
/// x = sum_a N_a(xi) x_a with the nodes of the cell, so curved rims are followed to the same degree. Hexahedra:
/// xi in [0,1]^3, the (degree + 1)^3 nodes with the first local direction fastest. Tetrahedra: xi >= 0, sum <= 1, nodes
/// in the order of `reference`.
struct Discretisation {
  CellShape shape = CellShape::hexahedron;
  int degree = 0;
  std::vector<double> knots;  ///< hexahedra: Gauss-Lobatto points of one direction in [0, 1], degree + 1 of them
  Eigen::Matrix<double, Eigen::Dynamic, 3> reference;  ///< tetrahedra: places of the nodes in the unit cell
  Eigen::MatrixXd basis;  ///< tetrahedra: monomials (solver/tetrahedra.h) x nodes, N_a = sum_m monomial_m basis(m, a)
  Eigen::Matrix<double, Eigen::Dynamic, 3> points;
  std::vector<std::vector<int>> cells;
  struct RimNodes {
    int board = 0, cut_out = -1;
    std::vector<int> nodes;  ///< each once
    /// (cell, local face). Hexahedra 0 .. 5: first direction low, high, second ...; tetrahedra 0 .. 3: the corner
    /// opposite.
    std::vector<std::pair<int, int>> faces;
  };
  std::vector<RimNodes> rims;
};

/// Numbers the nodes with deal.II (FE_Q) and places them, on curved rims by cylindrical manifolds.
Discretisation discretise(const HexMesh &mesh, int degree);

/// Values of the degree + 1 Lagrange polynomials on `knots` at t, and of their derivatives.
Eigen::VectorXd lagrange_values(const std::vector<double> &knots, double t);
Eigen::VectorXd lagrange_slopes(const std::vector<double> &knots, double t);

/// Shape functions at a point xi of the unit cell.
Eigen::VectorXd shape_values(const Discretisation &d, const Eigen::Vector3d &xi);

/// Shape functions and their reference gradients at Gauss points, for one degree; shared by all cells.
struct ReferenceCell {
  Eigen::VectorXd weights;                          ///< of the points, sum 1
  Eigen::MatrixXd values;                           ///< points x nodes
  std::array<Eigen::MatrixXd, 3> slopes;            ///< points x nodes, derivative along each reference direction
  Eigen::Matrix<double, Eigen::Dynamic, 3> places;  ///< reference coordinates of the points
};
ReferenceCell make_reference_cell(const Discretisation &d, int points_per_direction);

/// The same for tetrahedra (solver/tetrahedra.cpp), also at points of one's own.
ReferenceCell tetrahedron_reference(const Discretisation &d, int points_per_direction);
ReferenceCell tetrahedron_reference(const Discretisation &d, const Eigen::Matrix<double, Eigen::Dynamic, 3> &points,
                                    const Eigen::VectorXd &weights);

/// One cell: physical gradients (points x nodes), volume weights and places of the Gauss points.
struct CellGeometry {
  std::array<Eigen::MatrixXd, 3> gradient;
  Eigen::VectorXd weights;  ///< m3; not positive where the cell is inverted
  Eigen::Matrix<double, Eigen::Dynamic, 3> places;
  double least_scaled_jacobian = 0;  ///< det J / product of edge tangent lengths, least over the points
};
void cell_geometry(const Discretisation &d, const ReferenceCell &reference, int cell, CellGeometry &out);

/// Quadrature over a face of a cell: shape values (points x nodes of the cell) and outward area vectors (points x 3).
struct FaceGeometry {
  Eigen::MatrixXd values;
  Eigen::Matrix<double, Eigen::Dynamic, 3> area;
  Eigen::Matrix<double, Eigen::Dynamic, 3> places;
};
FaceGeometry face_geometry(const Discretisation &d, int cell, int face, int points_per_direction);
FaceGeometry tetrahedron_face(const Discretisation &d, int cell, int face, int points_per_direction);

}  // namespace stillbox
