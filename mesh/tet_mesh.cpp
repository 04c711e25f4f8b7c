// SPDX-License-Identifier: MIT
#include "mesh/tet_mesh.h"

#include <gmsh.h>

#include <algorithm>
#include <map>

#include "mesh/gmsh_session.h"
#include "mesh/mesh_error.h"
#include "mesh/solid_model.h"

namespace stillbox {
namespace {

constexpr double to_mm = 1000;
constexpr double most_thicknesses = 2.5;
constexpr double cells_round_a_circle = 16;
// Volume meshers by Gmsh's numbers: Delaunay's and, where that one leaves cells along a bent inner face that turn
// inside out when their edges are curved, HXT, which swaps them away. Moving their nodes takes ten times as long as a
// mesh.
constexpr double by_delaunay = 1, by_hxt = 10;
constexpr double least_round = 0.75;  // however coarse: with 8 cells of degree 2 a tube's volume is off by 0.25 %

// Options of the session that other meshes must not find changed.
struct Options {
  Options(double size, int degree, double fineness) {
    gmsh::option::setNumber("Mesh.MeshSizeMax", to_mm * size);
    gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", cells_round_a_circle * std::max(least_round, fineness));
    gmsh::option::setNumber("Mesh.ElementOrder", degree);
    gmsh::option::setNumber("Mesh.Algorithm", 1);  // the others fail on narrow rings between arcs
  }
  ~Options() {
    gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", 0);
    gmsh::option::setNumber("Mesh.ElementOrder", 1);
    gmsh::option::setNumber("Mesh.Algorithm3D", by_delaunay);
  }
};

}  // namespace

double tet_size(const Structure &s, const Board &board, const MeshOptions &options) {
  return std::min(element_size(s, board, options), most_thicknesses * board.thickness() / options.fineness);
}

namespace {

// True when some cell of this type is turned inside out at a Gauss point.
bool has_inverted(int type) {
  std::vector<double> points, weights, jacobians, determinants, places;
  gmsh::model::mesh::getIntegrationPoints(type, "Gauss8", points, weights);
  gmsh::model::mesh::getJacobians(type, points, jacobians, determinants, places);
  return determinants.empty() || *std::min_element(determinants.begin(), determinants.end()) <= 0;
}

TetMesh try_tet_mesh(const Structure &s, const MeshOptions &options) {
  const std::vector<std::vector<int>> volumes = make_solid_model(s);
  try {
    std::vector<std::pair<double, int>> sizes;
    for (std::size_t b = 0; b < s.boards.size(); ++b) sizes.emplace_back(tet_size(s, s.boards[b], options), int(b));
    std::sort(sizes.rbegin(), sizes.rend());
    const Options session(sizes.front().first, options.degree, options.fineness);
    for (const auto &[size, b] : sizes)
      for (int tag : volumes[b]) {
        gmsh::vectorpair points;
        gmsh::model::getBoundary({{3, tag}}, points, false, false, true);
        gmsh::model::mesh::setSize(points, to_mm * size);
      }
    const int type = gmsh::model::mesh::getElementType("tetrahedron", options.degree);
    for (const double mesher : {by_delaunay, by_hxt}) {
      gmsh::option::setNumber("Mesh.Algorithm3D", mesher);
      gmsh::model::mesh::clear();
      gmsh::model::mesh::generate(3);
      if (!has_inverted(type)) break;
    }
    if (has_inverted(type)) gmsh::model::mesh::optimize("HighOrder");
    if (has_inverted(type)) throw MeshError("curved elements are turned inside out");
    TetMesh mesh;
    mesh.degree = options.degree;
    std::vector<std::size_t> node_tags;
    std::vector<double> xyz, unused;
    gmsh::model::mesh::getNodes(node_tags, xyz, unused, -1, -1, false, false);
    std::map<std::size_t, std::size_t> place_of;
    for (std::size_t i = 0; i < node_tags.size(); ++i) place_of[node_tags[i]] = i;
    std::vector<int> number(node_tags.size(), -1);
    std::vector<std::size_t> used;
    for (std::size_t b = 0; b < s.boards.size(); ++b)
      for (int tag : volumes[b]) {
        std::vector<std::size_t> elements, nodes;
        gmsh::model::mesh::getElementsByType(type, elements, nodes, tag);
        if (elements.empty()) throw MeshError("board \"" + s.boards[b].name + "\" could not be meshed");
        const std::size_t per_cell = nodes.size() / elements.size();
        for (std::size_t e = 0; e < elements.size(); ++e) {
          std::vector<int> cell;
          for (std::size_t i = 0; i < per_cell; ++i) {
            const std::size_t at = place_of.at(nodes[e * per_cell + i]);
            if (number[at] < 0) {
              number[at] = int(used.size());
              used.push_back(at);
            }
            cell.push_back(number[at]);
          }
          mesh.cells.push_back(cell);
          mesh.cell_board.push_back(int(b));
        }
      }
    mesh.nodes.resize(Eigen::Index(used.size()), 3);
    for (std::size_t i = 0; i < used.size(); ++i)
      for (int k = 0; k < 3; ++k) mesh.nodes(Eigen::Index(i), k) = xyz[3 * used[i] + std::size_t(k)] / to_mm;
    std::string name;
    int dim = 0, order = 0, count = 0, corners = 0;
    std::vector<double> local;
    gmsh::model::mesh::getElementProperties(type, name, dim, order, count, local, corners);
    mesh.reference.resize(count, 3);
    for (int i = 0; i < count; ++i)
      for (int k = 0; k < 3; ++k) mesh.reference(i, k) = local[std::size_t(3 * i + k)];
    return mesh;
  } catch (const std::string &what) {
    throw MeshError("the solids could not be meshed: " + what);
  }
}

}  // namespace

TetMesh make_tet_mesh(const Structure &s, const MeshOptions &options) {
  std::string first;
  for (const double finer : {1.0, 1.3, 1.7, 2.2}) {  // what defeats the mesher at one size passes at the next
    MeshOptions o = options;
    o.fineness *= finer;
    try {
      return try_tet_mesh(s, o);
    } catch (const MeshError &error) {
      if (first.empty()) first = error.what();
      restart_gmsh();
    }
  }
  throw MeshError(first);
}

}  // namespace stillbox
