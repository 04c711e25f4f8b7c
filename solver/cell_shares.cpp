// SPDX-License-Identifier: MIT
#include "solver/cell_shares.h"

#include <deal.II/base/mpi.h>
#include <deal.II/distributed/fully_distributed_tria.h>
#include <deal.II/dofs/dof_handler.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/grid/grid_tools.h>
#include <deal.II/grid/tria_description.h>

#include <algorithm>

#include "solver/hex_triangulation.h"

namespace stillbox {
namespace {

// Every process meshes for itself; the same program on the same case gives the same mesh, unless machines differ.
void refuse_other_meshes(const Discretisation &d) {
  const Eigen::Vector3d middle = d.points.colwise().mean().transpose();
  const double mine[4] = {double(d.cells.size()), double(d.points.rows()), middle.sum(), d.points.squaredNorm()};
  double least[4], most[4];
  MPI_Allreduce(mine, least, 4, MPI_DOUBLE, MPI_MIN, MPI_COMM_WORLD);
  MPI_Allreduce(mine, most, 4, MPI_DOUBLE, MPI_MAX, MPI_COMM_WORLD);
  for (int i = 0; i < 4; ++i)
    if (most[i] - least[i] > 1e-12 * std::abs(most[i]) + (i == 2 ? 1e-12 : 0))
      throw SolveError(
          "the processes of mpirun have made different meshes; give all of them the same program, case file and "
          "options");
}

// The first process decides who has which cell, so that all agree.
void partition(dealii::Triangulation<3> &triangulation) {
  const unsigned int ranks = dealii::Utilities::MPI::n_mpi_processes(MPI_COMM_WORLD);
  if (triangulation.n_active_cells() < ranks)
    throw SolveError("the mesh has fewer cells than mpirun has started processes; start fewer");
  dealii::GridTools::partition_triangulation(ranks, triangulation);
  std::vector<unsigned int> owner;
  for (const auto &cell : triangulation.active_cell_iterators()) owner.push_back(cell->subdomain_id());
  MPI_Bcast(owner.data(), int(owner.size()), MPI_UNSIGNED, 0, MPI_COMM_WORLD);
  std::size_t at = 0;
  for (const auto &cell : triangulation.active_cell_iterators()) cell->set_subdomain_id(owner[at++]);
}

}  // namespace

CellShares share_cells(const HexMesh &mesh, const Discretisation &d) {
  refuse_other_meshes(d);
  dealii::Triangulation<3> whole;
  make_triangulation(mesh, whole);  // as `discretise` did
  partition(whole);
  dealii::parallel::fullydistributed::Triangulation<3> shared(MPI_COMM_WORLD);
  shared.create_triangulation(
      dealii::TriangulationDescription::Utilities::create_description_from_triangulation(whole, MPI_COMM_WORLD));

  const dealii::FE_Q<3> element(d.degree);
  dealii::DoFHandler<3> dofs(shared);
  dofs.distribute_dofs(element);
  const dealii::IndexSet &own = dofs.locally_owned_dofs();
  const std::vector<unsigned int> lexicographic = element.get_poly_space_numbering_inverse();
  std::vector<dealii::types::global_dof_index> indices(element.n_dofs_per_cell());
  const int rank = int(dealii::Utilities::MPI::this_mpi_process(MPI_COMM_WORLD));
  CellShares shares;
  std::vector<int> mine(std::size_t(d.points.rows()), -1);
  for (const auto &cell : dofs.active_cell_iterators()) {
    if (!cell->is_locally_owned()) continue;
    const int number = int(cell->id().get_coarse_cell_id());
    shares.own_cells.push_back(number);
    cell->get_dof_indices(indices);
    for (std::size_t i = 0; i < indices.size(); ++i)
      if (own.is_element(indices[lexicographic[i]])) mine[d.cells[number][i]] = rank;
  }
  std::sort(shares.own_cells.begin(), shares.own_cells.end());
  shares.node_rank.resize(mine.size());
  MPI_Allreduce(mine.data(), shares.node_rank.data(), int(mine.size()), MPI_INT, MPI_MAX, MPI_COMM_WORLD);
  return shares;
}

}  // namespace stillbox
