// SPDX-License-Identifier: MIT
#include "mesh/box_form.h"
#include "mesh/mesh_error.h"
#include "mesh/solids.h"
#include "solver/box_nodes.h"
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

// A cabinet whose form is that of a box; the sectors of its bent boards are those of the cells' middles.
NodeRoles make_boxed_hexahedra(const BoxedShape &boxed, const MeshOptions &options, Model &m) {
  const HexMesh mesh = make_box_mesh(boxed, options);
  Discretisation d = discretise(mesh, options.degree);
  JointNodes joints = joint_nodes(boxed.box, mesh, d, options);
  move_to_shape(boxed, mesh, graded_points(joints.shifts, d), d);
  m.mesh = mesh;
  m.mesh.nodes.clear();
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    const Eigen::Vector3d middle = (d.points.row(d.cells[c].front()) + d.points.row(d.cells[c].back())) / 2;
    HexCell &cell = m.mesh.cells[c];
    const auto set_sector = [&](int board, int &sector) {
      if (board >= 0 && boxed.shape_board(board).bend) sector = sector_at(boxed.shape_board(board), middle);
    };
    set_sector(cell.board, cell.layer);
    set_sector(cell.mate, cell.mate_layer);
  }
  m.discretisation = std::move(d);
  return std::move(joints.roles);
}

}  // namespace

Model prepare_model(const Structure &structure, const SolveOptions &options, SolveReport &report) {
  give_back_freed_memory();
  Stopwatch watch;
  Model m;
  m.structure = &structure;
  if (options.progress) options.progress("meshing");
  const MeshOptions mesh_options{options.up_to, options.fineness, options.degree};
  NodeRoles roles;
  if (structure.solids) {
    auto boxed = boxed_shape(structure, report.why_tetrahedra);
    MeshOptions tet_options = mesh_options;
    if (boxed) {
      std::string failed;
      try {
        roles = make_boxed_hexahedra(*boxed, mesh_options, m);
      } catch (const MeshError &error) {
        failed = error.what();
      } catch (const SolveError &error) {
        failed = error.what();
      }
      if (!failed.empty()) {
        boxed.reset();
        report.why_tetrahedra = "hexahedra failed: " + failed;
        // Tetrahedra of degree 4 are about as good as hexahedra of degree 3, for which it was meant.
        if (tet_options.degree == 3) tet_options.degree = 4;
      }
    }
    report.tetrahedra = !boxed;
    if (!boxed) {
      const TetMesh tets = make_tet_mesh(structure, tet_options);
      m.discretisation = discretise(tets, structure);
      m.mesh = cells_of(tets, structure);
    }
  } else {
    m.mesh = make_hex_mesh(structure, mesh_options);
    m.discretisation = discretise(m.mesh, mesh_options.degree);
    JointNodes joints = joint_nodes(structure, m.mesh, m.discretisation, mesh_options);
    m.discretisation.points = graded_points(joints.shifts, m.discretisation);
    roles = std::move(joints.roles);
  }
  m.unknowns = number_unknowns(structure, m.discretisation, roles);
  m.laws = make_laws(structure);
  report.seconds_mesh += watch.lap();
  if (options.meshed) options.meshed(m.unknowns.count);
  return m;
}

void report_system(const Model &m, const SolveOptions &options, SolveReport &report) {
  report.dofs = m.unknowns.count;
  report.cells = int(m.mesh.cells.size());
  report.degree = m.discretisation.degree;
  report.up_to = options.up_to;
  report.least_jacobian = m.system.least_jacobian;
  const Volumes expected = volumes_of(*m.structure);
  report.mass = m.system.wood_mass + m.system.fitting_mass;
  report.mass_expected = expected.mass;
  report.volume = m.system.wood_volume;
  for (double v : expected.board) report.volume_expected += v;
  const auto off = [](double a, double b) { return std::abs(a - b) > 1e-3 * b; };
  if (off(report.volume, report.volume_expected) || off(report.mass, report.mass_expected))
    throw SolveError("the mesh holds " + std::to_string(report.mass) + " kg in " + std::to_string(report.volume * 1e3) +
                     " l of wood but the description " + std::to_string(report.mass_expected) + " kg in " +
                     std::to_string(report.volume_expected * 1e3) + " l; they must agree to 0.1 %");
}

Model build_model(const Structure &structure, const SolveOptions &options, SolveReport &report) {
  Model m = prepare_model(structure, options, report);
  Stopwatch watch;
  if (options.progress) options.progress("assembling " + std::to_string(m.unknowns.count) + " unknowns");
  m.system = assemble(structure, m.mesh, m.discretisation, m.unknowns, m.laws);
  report.seconds_assemble += watch.lap();
  report_system(m, options, report);
  return m;
}

}  // namespace stillbox
