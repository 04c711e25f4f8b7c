// SPDX-License-Identifier: MIT
#include "mesh/planar_quads.h"

#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <tuple>

#include "mesh/gmsh_session.h"

namespace stillbox {
namespace {

// Gmsh's tolerances are absolute and suit lengths of about 1.
constexpr double to_mm = 1000;

struct CoarseMesh {
  std::vector<Eigen::Vector2d> nodes;      // the coarse boundary corners first, loop by loop
  std::vector<std::vector<int>> polygons;  // triangles and quadrilaterals
};

double signed_area(const std::vector<Eigen::Vector2d> &nodes, const std::vector<int> &polygon) {
  double twice = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Eigen::Vector2d &a = nodes[polygon[i]], &b = nodes[polygon[(i + 1) % polygon.size()]];
    twice += a.x() * b.y() - b.x() * a.y();
  }
  return twice / 2;
}

CoarseMesh coarse_mesh(const std::vector<BoundaryLoop> &loops, double size, int algorithm) {
  start_gmsh();
  gmsh::clear();
  gmsh::model::add("region");
  std::vector<int> point_tags, loop_tags;
  for (const BoundaryLoop &loop : loops) {
    std::vector<int> points, lines;
    for (std::size_t i = 0; i < loop.size(); i += 2) {
      // The local spacing of the boundary, so that small cut-outs are approached by small elements.
      const double before = (loop[i] - loop[(i + loop.size() - 2) % loop.size()]).norm();
      const double after = (loop[i] - loop[(i + 2) % loop.size()]).norm();
      points.push_back(gmsh::model::geo::addPoint(to_mm * loop[i].x(), to_mm * loop[i].y(), 0,
                                                  to_mm * std::min(size, (before + after) / 2)));
    }
    for (std::size_t i = 0; i < points.size(); ++i) {
      lines.push_back(gmsh::model::geo::addLine(points[i], points[(i + 1) % points.size()]));
      gmsh::model::geo::mesh::setTransfiniteCurve(lines.back(), 2);
    }
    loop_tags.push_back(gmsh::model::geo::addCurveLoop(lines));
    point_tags.insert(point_tags.end(), points.begin(), points.end());
  }
  const int surface = gmsh::model::geo::addPlaneSurface(loop_tags);
  gmsh::model::geo::synchronize();
  gmsh::option::setNumber("Mesh.MeshSizeMax", to_mm * size);
  gmsh::option::setNumber("Mesh.Algorithm", algorithm);
  gmsh::model::mesh::generate(2);

  CoarseMesh mesh;
  std::map<std::size_t, int> index_of;
  for (int tag : point_tags) {
    std::vector<std::size_t> tags;
    std::vector<double> xyz, unused;
    gmsh::model::mesh::getNodes(tags, xyz, unused, 0, tag, false, false);
    if (tags.size() != 1) throw std::runtime_error("a corner of the region has no node");
    index_of[tags[0]] = int(mesh.nodes.size());
    mesh.nodes.emplace_back(xyz[0] / to_mm, xyz[1] / to_mm);
  }
  std::vector<std::size_t> tags;
  std::vector<double> xyz, unused;
  gmsh::model::mesh::getNodes(tags, xyz, unused, 2, surface, false, false);
  for (std::size_t i = 0; i < tags.size(); ++i) {
    index_of[tags[i]] = int(mesh.nodes.size());
    mesh.nodes.emplace_back(xyz[3 * i] / to_mm, xyz[3 * i + 1] / to_mm);
  }
  std::vector<int> types;
  std::vector<std::vector<std::size_t>> elements, element_nodes;
  gmsh::model::mesh::getElements(types, elements, element_nodes, 2, surface);
  for (std::size_t t = 0; t < types.size(); ++t) {
    const std::size_t n = 3;
    if (types[t] != 2) throw std::runtime_error("unexpected element type in a flat region");
    for (std::size_t e = 0; e < elements[t].size(); ++e) {
      std::vector<int> polygon;
      for (std::size_t i = 0; i < n; ++i) polygon.push_back(index_of.at(element_nodes[t][e * n + i]));
      if (signed_area(mesh.nodes, polygon) < 0) std::reverse(polygon.begin(), polygon.end());
      mesh.polygons.push_back(polygon);
    }
  }
  gmsh::model::remove();
  if (mesh.polygons.empty()) throw std::runtime_error("no elements were made");
  return mesh;
}

// Least of the four corner Jacobians, each scaled by the lengths of the two edges that meet there.
double quad_quality(const std::vector<Eigen::Vector2d> &nodes, const std::array<int, 4> &quad) {
  double least = 1;
  for (int c = 0; c < 4; ++c) {
    const Eigen::Vector2d a = nodes[quad[(c + 1) % 4]] - nodes[quad[c]], b = nodes[quad[(c + 3) % 4]] - nodes[quad[c]];
    least = std::min(least, (a.x() * b.y() - a.y() * b.x()) / (a.norm() * b.norm() + 1e-300));
  }
  return least;
}

// Merges pairs of triangles, the best shaped quadrilateral first. (Gmsh 4.8's own recombination loses boundary edges
// beside narrow webs.)
void merge_triangles(CoarseMesh &mesh) {
  struct Merge {
    double quality;
    int first, second;
    std::array<int, 4> quad;
    bool operator<(const Merge &o) const {
      return std::tie(o.quality, first, second) < std::tie(quality, o.first, o.second);
    }
  };
  std::map<std::pair<int, int>, int> triangle_at;  // directed edge -> triangle
  for (std::size_t t = 0; t < mesh.polygons.size(); ++t)
    for (int e = 0; e < 3; ++e) triangle_at[{mesh.polygons[t][e], mesh.polygons[t][(e + 1) % 3]}] = int(t);
  std::vector<Merge> merges;
  for (const auto &[edge, first] : triangle_at) {
    const auto twin = triangle_at.find({edge.second, edge.first});
    if (twin == triangle_at.end() || twin->second < first) continue;
    const auto apex = [&](int triangle) {
      for (int node : mesh.polygons[triangle])
        if (node != edge.first && node != edge.second) return node;
      return -1;
    };
    Merge m{0, first, twin->second, {edge.first, apex(twin->second), edge.second, apex(first)}};
    m.quality = quad_quality(mesh.nodes, m.quad);
    if (m.quality > 0.3) merges.push_back(m);
  }
  std::sort(merges.begin(), merges.end());
  std::vector<char> used(mesh.polygons.size(), 0);
  std::vector<std::vector<int>> polygons;
  for (const Merge &m : merges) {
    if (used[m.first] || used[m.second]) continue;
    used[m.first] = used[m.second] = 1;
    polygons.emplace_back(m.quad.begin(), m.quad.end());
  }
  for (std::size_t t = 0; t < used.size(); ++t)
    if (!used[t]) polygons.push_back(mesh.polygons[t]);
  mesh.polygons = polygons;
}

// Moves each interior node towards the mean of its neighbours when that does not worsen the worst quad around it.
void smooth(PlanarQuads &mesh, std::size_t fixed) {
  std::vector<std::vector<int>> quads_at(mesh.nodes.size());
  for (std::size_t q = 0; q < mesh.quads.size(); ++q)
    for (int node : mesh.quads[q]) quads_at[node].push_back(int(q));
  const auto worst_at = [&](std::size_t node) {
    double worst = 1;
    for (int q : quads_at[node]) worst = std::min(worst, quad_quality(mesh.nodes, mesh.quads[q]));
    return worst;
  };
  for (int sweep = 0; sweep < 30; ++sweep)
    for (std::size_t node = fixed; node < mesh.nodes.size(); ++node) {
      Eigen::Vector2d mean(0, 0);
      double count = 0;
      for (int q : quads_at[node]) {
        const auto &quad = mesh.quads[q];
        const int at = int(std::find(quad.begin(), quad.end(), int(node)) - quad.begin());
        mean += mesh.nodes[quad[(at + 1) % 4]] + mesh.nodes[quad[(at + 3) % 4]];
        count += 2;
      }
      const Eigen::Vector2d old = mesh.nodes[node];
      const double before = worst_at(node);
      for (double step : {1.0, 0.5, 0.2}) {
        mesh.nodes[node] = old + step * (mean / count - old);
        if (worst_at(node) > before) break;
        mesh.nodes[node] = old;
      }
    }
}

}  // namespace

PlanarQuads make_planar_quads(const std::vector<BoundaryLoop> &loops, double size, int algorithm) {
  CoarseMesh coarse = coarse_mesh(loops, 2 * size, algorithm);
  merge_triangles(coarse);
  PlanarQuads fine;
  std::vector<int> fine_of_coarse(coarse.nodes.size(), -1);
  std::map<std::pair<int, int>, int> middle_of;  // coarse edge -> fine node
  std::size_t coarse_at = 0;
  for (const BoundaryLoop &loop : loops) {
    const std::size_t corners = loop.size() / 2, start = fine.nodes.size();
    for (std::size_t i = 0; i < corners; ++i) {
      const int a = int(coarse_at + i), b = int(coarse_at + (i + 1) % corners);
      fine_of_coarse[a] = int(start + 2 * i);
      middle_of[std::minmax(a, b)] = int(start + 2 * i + 1);
    }
    fine.nodes.insert(fine.nodes.end(), loop.begin(), loop.end());
    coarse_at += corners;
  }
  const std::size_t fixed = fine.nodes.size();
  for (std::size_t i = coarse_at; i < coarse.nodes.size(); ++i) {
    fine_of_coarse[i] = int(fine.nodes.size());
    fine.nodes.push_back(coarse.nodes[i]);
  }
  const auto middle = [&](int a, int b) {
    const auto [it, is_new] = middle_of.try_emplace(std::minmax(a, b), int(fine.nodes.size()));
    if (is_new) fine.nodes.push_back((coarse.nodes[a] + coarse.nodes[b]) / 2);
    return it->second;
  };
  for (const std::vector<int> &polygon : coarse.polygons) {
    const std::size_t n = polygon.size();
    std::vector<int> middles;
    Eigen::Vector2d centre(0, 0);
    for (std::size_t i = 0; i < n; ++i) {
      middles.push_back(middle(polygon[i], polygon[(i + 1) % n]));
      centre += fine.nodes[middles.back()] / double(n);
    }
    const int c = int(fine.nodes.size());
    fine.nodes.push_back(centre);
    for (std::size_t i = 0; i < n; ++i)
      fine.quads.push_back({fine_of_coarse[polygon[i]], middles[i], c, middles[(i + n - 1) % n]});
  }
  smooth(fine, fixed);
  fine.least_quality = 1;
  for (const auto &quad : fine.quads) fine.least_quality = std::min(fine.least_quality, quad_quality(fine.nodes, quad));
  return fine;
}

}  // namespace stillbox
