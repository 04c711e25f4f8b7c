// SPDX-License-Identifier: MIT
#include "mesh/outer_quads.h"

#include <gmsh.h>

#include <map>

#include "mesh/gmsh_session.h"
#include "mesh/mesh_error.h"
#include "mesh/solid_model.h"

namespace stillbox {
namespace {

constexpr double to_mm = 1000;

// Options of the session that other meshes must not find changed.
struct Options {
  explicit Options(double size) {
    gmsh::option::setNumber("Mesh.MeshSizeMax", to_mm * 2 * size);  // halved in the end
    gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", 12);
    gmsh::option::setNumber("Mesh.Algorithm", 6);
    gmsh::option::setNumber("Mesh.RecombineAll", 1);
    gmsh::option::setNumber("Mesh.RecombinationAlgorithm", 1);
    gmsh::option::setNumber("Mesh.SubdivisionAlgorithm", 1);
  }
  ~Options() {
    gmsh::option::setNumber("Mesh.MeshSizeFromCurvature", 0);
    gmsh::option::setNumber("Mesh.Algorithm", 1);
    gmsh::option::setNumber("Mesh.RecombineAll", 0);
    gmsh::option::setNumber("Mesh.SubdivisionAlgorithm", 0);
  }
};

// Neighbours run along a common edge in opposite directions; all together look outwards.
void turn_outwards(QuadSurface &s) {
  std::map<std::pair<int, int>, std::vector<int>> at_edge;
  for (int q = 0; q < int(s.quads.size()); ++q)
    for (int k = 0; k < 4; ++k) {
      const int a = s.quads[std::size_t(q)][std::size_t(k)], b = s.quads[std::size_t(q)][std::size_t((k + 1) % 4)];
      at_edge[std::minmax(a, b)].push_back(q);
    }
  for (const auto &[edge, list] : at_edge)
    if (list.size() != 2) throw MeshError("the outer faces do not close to a surface");
  const auto runs = [&](int q, int a, int b) {
    for (int k = 0; k < 4; ++k)
      if (s.quads[std::size_t(q)][std::size_t(k)] == a && s.quads[std::size_t(q)][std::size_t((k + 1) % 4)] == b)
        return true;
    return false;
  };
  std::vector<char> seen(s.quads.size(), 0);
  std::vector<int> stack{0};
  seen[0] = 1;
  while (!stack.empty()) {
    const int q = stack.back();
    stack.pop_back();
    for (int k = 0; k < 4; ++k) {
      const int a = s.quads[std::size_t(q)][std::size_t(k)], b = s.quads[std::size_t(q)][std::size_t((k + 1) % 4)];
      for (const int other : at_edge.at(std::minmax(a, b))) {
        if (seen[std::size_t(other)]) continue;
        seen[std::size_t(other)] = 1;
        auto &quad = s.quads[std::size_t(other)];
        if (runs(other, a, b)) std::swap(quad[1], quad[3]);
        stack.push_back(other);
      }
    }
  }
  double volume = 0;
  for (const auto &q : s.quads)
    for (const auto &[i, j, k] : {std::array<int, 3>{q[0], q[1], q[2]}, {q[0], q[2], q[3]}})
      volume += s.nodes[std::size_t(i)].dot(s.nodes[std::size_t(j)].cross(s.nodes[std::size_t(k)])) / 6;
  if (volume < 0)
    for (auto &quad : s.quads) std::swap(quad[1], quad[3]);
}

QuadSurface try_outer_quads(const Structure &s, double size) {
  make_outside_model(s);
  try {
    const Options session(size);
    gmsh::vectorpair points;
    gmsh::model::getEntities(points, 0);
    gmsh::model::mesh::setSize(points, to_mm * 2 * size);  // else a tenth of the whole
    gmsh::model::mesh::generate(2);
    QuadSurface out;
    std::vector<std::size_t> tags, elements, corners;
    std::vector<double> xyz, unused;
    gmsh::model::mesh::getNodes(tags, xyz, unused, -1, -1, false, false);
    std::map<std::size_t, std::size_t> place_of;
    for (std::size_t i = 0; i < tags.size(); ++i) place_of[tags[i]] = i;
    gmsh::model::mesh::getElementsByType(gmsh::model::mesh::getElementType("triangle", 1), elements, corners);
    if (!elements.empty()) throw MeshError("the outer faces were not divided into quadrilaterals");
    gmsh::model::mesh::getElementsByType(gmsh::model::mesh::getElementType("quadrangle", 1), elements, corners);
    std::map<std::size_t, int> number;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const auto [it, fresh] = number.emplace(corners[i], int(out.nodes.size()));
      if (fresh) {
        const std::size_t at = 3 * place_of.at(corners[i]);
        out.nodes.emplace_back(xyz[at] / to_mm, xyz[at + 1] / to_mm, xyz[at + 2] / to_mm);
      }
      if (i % 4 == 0) out.quads.emplace_back();
      out.quads.back()[i % 4] = it->second;
    }
    if (out.quads.empty()) throw MeshError("the outer faces could not be meshed");
    turn_outwards(out);
    return out;
  } catch (const std::string &what) {
    throw MeshError("the outer faces could not be meshed: " + what);
  }
}

}  // namespace

QuadSurface outer_quads(const Structure &s, double size) {
  std::string first;
  for (const double finer : {1.0, 1.2, 1.5}) {
    try {
      return try_outer_quads(s, size / finer);
    } catch (const MeshError &error) {
      if (first.empty()) first = error.what();
      restart_gmsh();
    }
  }
  throw MeshError("\"" + s.variant_name + "\": " + first);
}

}  // namespace stillbox
