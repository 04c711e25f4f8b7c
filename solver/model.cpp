// SPDX-License-Identifier: MIT
#include "solver/freed_memory.h"
#include "solver/joint_grading.h"
#include "solver/modes.h"
#include "solver/stopwatch.h"
#include "solver/tetrahedra.h"

namespace stillbox {
namespace {

// Boards and layers (sectors of bent ones) of the tetrahedra, which the rest of the solver looks up by cell.
HexMesh cells_of(const TetMesh &tets, const Structure &s) {
  HexMesh mesh;
  for (std::size_t c = 0; c < tets.cells.size(); ++c) {
    HexCell cell;
    cell.board = tets.cell_board[c];
    Eigen::Vector3d middle = Eigen::Vector3d::Zero();
    for (int corner = 0; corner < 4; ++corner) middle += tets.nodes.row(tets.cells[c][corner]).transpose() / 4;
    if (s.boards[cell.board].bend) cell.layer = sector_at(s.boards[cell.board], middle);
    mesh.cells.push_back(cell);
  }
  return mesh;
}

}  // namespace

Model build_model(const Structure &structure, const SolveOptions &options, SolveReport &report) {
  give_back_freed_memory();
  Stopwatch watch;
  Model m;
  m.structure = &structure;
  if (options.progress) options.progress("meshing");
  const MeshOptions mesh_options{options.up_to, options.fineness, options.degree};
  NodeRoles roles;
  if (structure.solids) {
    const TetMesh tets = make_tet_mesh(structure, mesh_options);
    m.discretisation = discretise(tets, structure);
    m.mesh = cells_of(tets, structure);
  } else {
    m.mesh = make_hex_mesh(structure, mesh_options);
    m.discretisation = discretise(m.mesh, options.degree);
    const std::vector<char> near = near_joints(structure, m.mesh, m.discretisation);
    roles.followers = plain_columns(structure, m.mesh, near, m.discretisation, mesh_options);
    shift_nodes(joint_shifts(structure, near, m.discretisation, mesh_options), m.discretisation);
    roles.inner_cell = inner_cells(m.mesh, m.discretisation, roles.followers);
  }
  m.unknowns = number_unknowns(structure, m.discretisation, roles);
  m.laws = make_laws(structure);
  report.seconds_mesh += watch.lap();
  if (options.progress) options.progress("assembling " + std::to_string(m.unknowns.count) + " unknowns");
  m.system = assemble(structure, m.mesh, m.discretisation, m.unknowns, m.laws);
  report.seconds_assemble += watch.lap();
  report.dofs = m.unknowns.count;
  report.cells = int(m.mesh.cells.size());
  report.degree = options.degree;
  report.up_to = options.up_to;
  report.least_jacobian = m.system.least_jacobian;
  const Volumes expected = volumes_of(structure);
  report.mass = m.system.wood_mass + m.system.fitting_mass;
  report.mass_expected = expected.mass;
  report.volume = m.system.wood_volume;
  for (double v : expected.board) report.volume_expected += v;
  const auto off = [](double a, double b) { return std::abs(a - b) > 1e-3 * b; };
  if (off(report.volume, report.volume_expected) || off(report.mass, report.mass_expected))
    throw SolveError("the mesh holds " + std::to_string(report.mass) + " kg in " + std::to_string(report.volume * 1e3) +
                     " l of wood but the description " + std::to_string(report.mass_expected) + " kg in " +
                     std::to_string(report.volume_expected * 1e3) + " l; they must agree to 0.1 %");
  return m;
}

}  // namespace stillbox
