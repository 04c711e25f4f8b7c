// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Sparse>
#include <functional>
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/bonds.h"
#include "solver/cell_laws.h"
#include "solver/discretisation.h"
#include "solver/scatter.h"
#include "solver/unknowns.h"

namespace stillbox {

/// The eigenproblem K x = lambda M x, lambda = omega^2. Only the lower triangles are stored.
struct System {
  SparseMatrix stiffness, mass;
  std::vector<std::vector<int>> block_neighbours;  ///< blocks of Unknowns that share a cell, lower ones only
  std::vector<std::vector<int>> cells;             ///< blocks of each cell and bond: all entries lie within one
  std::vector<BondCell> bonds;                     ///< springs of the bonded faces, in `stiffness` already
  double fitting_mass = 0;                         ///< kg in drivers, area and point masses
  double wood_mass = 0, wood_volume = 0;           ///< by quadrature over the cells
  double least_jacobian = 1;

  // Sparse matrices of Eigen 3.4 cannot be moved, only swapped, and a copy of these is dear.
  System() = default;
  System(const System &) = default;
  System &operator=(const System &) = default;
  System(System &&other) noexcept { swap(other); }
  System &operator=(System &&other) noexcept {
    swap(other);
    return *this;
  }
  void swap(System &other) noexcept {
    stiffness.swap(other.stiffness);
    mass.swap(other.mass);
    block_neighbours.swap(other.block_neighbours);
    cells.swap(other.cells);
    bonds.swap(other.bonds);
    std::swap(fitting_mass, other.fitting_mass);
    std::swap(wood_mass, other.wood_mass);
    std::swap(wood_volume, other.wood_volume);
    std::swap(least_jacobian, other.least_jacobian);
  }
};

/// K_e = integral of (sym grad N_a) : C : (sym grad N_b), M_e = integral of rho N_a N_b over each cell, exact for
/// straight cells; drivers, masses and feet added. `laws` may have been changed (reduced moduli for a check).
/// Errors: SolveError when a cell is inverted or a mass or foot lies off the wood.
System assemble(const Structure &structure, const HexMesh &mesh, const Discretisation &d, const Unknowns &unknowns,
                const CellLaws &laws);

/// Adds the cells `numbers` to `sink`, without what is fixed to them, and their masses, volumes and least Jacobian to
/// `sums`. `cells` holds the unknowns of all cells. Errors: SolveError when a cell is inverted.
void assemble_cells(const Structure &structure, const HexMesh &mesh, const Discretisation &d, const CellLaws &laws,
                    const std::vector<int> &numbers, const std::vector<CellUnknowns> &cells, MatrixSink &sink,
                    System &sums);

/// Adds the integral of grad N_a C grad N_b over a cell for one law, the Gauss weights (m3) already shared out:
/// K[(a,i),(b,j)] += sum over k, l of C_ikjl S_kl(a,b), S_kl = sum over points of w d_k N_a d_l N_b.
void add_cell_stiffness(const CellGeometry &geometry, const Eigen::VectorXd &weights, const StressLaw &law,
                        Eigen::MatrixXd &stiffness);

/// Calls `visit` for each cell with its geometry at Gauss points; `reference` is made for degree + 1 points.
void for_each_cell(const Discretisation &d, const ReferenceCell &reference,
                   const std::function<void(int cell, const CellGeometry &)> &visit);

/// y = A x for a symmetric matrix of which the lower triangle is stored; x may have several columns.
Eigen::MatrixXd multiply(const SparseMatrix &lower, const Eigen::MatrixXd &x);

/// The same for a matrix that does alike to three unknowns in a row, with one row for each three.
Eigen::MatrixXd multiply_nodes(const SparseMatrix &lower, const Eigen::MatrixXd &x);

}  // namespace stillbox
