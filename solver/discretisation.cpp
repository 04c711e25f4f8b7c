// SPDX-License-Identifier: MIT
#include "solver/discretisation.h"

#include <deal.II/base/quadrature_lib.h>
#include <deal.II/dofs/dof_handler.h>
#include <deal.II/dofs/dof_tools.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/fe/mapping_q.h>
#include <deal.II/grid/grid_tools.h>
#include <deal.II/grid/manifold_lib.h>
#include <deal.II/grid/tria.h>

#include <algorithm>
#include <map>
#include <set>

#include "solver/hex_triangulation.h"

namespace stillbox {
namespace {

// Finds the faces of the triangulation that lie on rims and lets the curved ones follow their cylinders.
std::vector<std::pair<int, unsigned int>> mark_rims(const HexMesh &mesh, dealii::Triangulation<3> &triangulation) {
  std::vector<dealii::Triangulation<3>::active_cell_iterator> cell_at;
  for (const auto &cell : triangulation.active_cell_iterators()) cell_at.push_back(cell);
  std::vector<std::pair<int, unsigned int>> found;
  for (const RimFace &rim : mesh.rim_faces) {
    const std::set<int> wanted(rim.nodes.begin(), rim.nodes.end());
    for (unsigned int f = 0; f < 6; ++f) {
      const auto face = cell_at[rim.cell]->face(f);
      std::set<int> have;
      for (unsigned int v = 0; v < 4; ++v) have.insert(int(face->vertex_index(v)));
      if (have != wanted) continue;
      found.emplace_back(rim.cell, f);
      if (rim.cylinder >= 0) face->set_all_manifold_ids(rim.cylinder);
    }
  }
  for (std::size_t c = 0; c < mesh.cylinders.size(); ++c) {
    const Cylinder &cylinder = mesh.cylinders[c];
    dealii::Tensor<1, 3> axis;
    dealii::Point<3> point;
    for (int i = 0; i < 3; ++i) {
      axis[i] = cylinder.axis[i];
      point[i] = cylinder.axis_point[i];
    }
    triangulation.set_manifold(c, dealii::CylindricalManifold<3>(axis, point));
  }
  return found;
}

}  // namespace

Discretisation discretise(const HexMesh &mesh, int degree) {
  dealii::Triangulation<3> triangulation;
  try {
    make_triangulation(mesh, triangulation);
  } catch (const dealii::ExceptionBase &error) {
    throw SolveError(std::string("the hexahedra do not form a valid mesh: ") + error.what());
  }
  if (triangulation.n_active_cells() != mesh.cells.size()) throw SolveError("cells were lost between mesh and solver");
  const auto rim_faces = mark_rims(mesh, triangulation);

  const dealii::FE_Q<3> element(degree);
  dealii::DoFHandler<3> dofs(triangulation);
  dofs.distribute_dofs(element);
  const dealii::MappingQ<3> mapping(degree);
  std::vector<dealii::Point<3>> places(dofs.n_dofs());
  dealii::DoFTools::map_dofs_to_support_points(mapping, dofs, places);

  Discretisation d;
  d.degree = degree;
  const dealii::QGaussLobatto<1> lobatto(degree + 1);
  for (const auto &p : lobatto.get_points()) d.knots.push_back(p[0]);
  d.points.resize(dofs.n_dofs(), 3);
  for (std::size_t i = 0; i < places.size(); ++i)
    for (int k = 0; k < 3; ++k) d.points(i, k) = places[i][k];
  const std::vector<unsigned int> lexicographic = element.get_poly_space_numbering_inverse();
  std::vector<dealii::types::global_dof_index> indices(element.n_dofs_per_cell());
  for (const auto &cell : dofs.active_cell_iterators()) {
    cell->get_dof_indices(indices);
    std::vector<int> nodes(indices.size());
    for (std::size_t i = 0; i < nodes.size(); ++i) nodes[i] = int(indices[lexicographic[i]]);
    d.cells.push_back(nodes);
  }

  const int n = degree + 1;
  std::map<std::pair<int, int>, std::size_t> rim_of;
  for (std::size_t r = 0; r < mesh.rim_faces.size(); ++r) {
    const RimFace &face = mesh.rim_faces[r];
    const auto [it, is_new] = rim_of.try_emplace({face.board, face.cut_out}, d.rims.size());
    if (is_new) d.rims.push_back({face.board, face.cut_out, {}, {}});
    auto &rim = d.rims[it->second];
    const auto [cell, f] = rim_faces.at(r);
    rim.faces.emplace_back(cell, int(f));
    for (int k = 0; k < n; ++k)
      for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) {
          const int at[3] = {i, j, k};
          if (at[f / 2] == (f % 2 ? degree : 0)) rim.nodes.push_back(d.cells[cell][i + n * (j + n * k)]);
        }
  }
  for (auto &rim : d.rims) {
    std::sort(rim.nodes.begin(), rim.nodes.end());
    rim.nodes.erase(std::unique(rim.nodes.begin(), rim.nodes.end()), rim.nodes.end());
  }
  return d;
}

}  // namespace stillbox
