// SPDX-License-Identifier: MIT
#include "mesh/flat_region.h"

#include <algorithm>
#include <array>
#include <map>
#include <stdexcept>

namespace stillbox {
namespace {

constexpr double good_quality = 0.25;  // scaled corner Jacobian below which a finer try is made
constexpr double least_quality = 0.05;

// Least distance from a finely drawn cut-out to all other boundaries.
double gap_around(std::size_t which, const std::vector<OutlineLoop> &outer, const std::vector<OutlineLoop> &fine) {
  double gap = 1e300;
  for (const OutlineLoop &loop : outer) gap = std::min(gap, loop_distance(fine[which].points, loop.points));
  for (std::size_t other = 0; other < fine.size(); ++other)
    if (other != which) gap = std::min(gap, loop_distance(fine[which].points, fine[other].points));
  return gap;
}

// Where boundary edges of the quads lie, by the numbers of their end nodes in the loop's direction.
using EdgeArcs = std::map<std::pair<int, int>, const Arc *>;

EdgeArcs boundary_edges(const std::vector<OutlineLoop> &loops) {
  EdgeArcs edges;
  int start = 0;
  for (const OutlineLoop &loop : loops) {
    const int n = int(loop.points.size());
    for (int i = 0; i < n; ++i)
      edges[{start + i, start + (i + 1) % n}] = loop.edge_arc[i] < 0 ? nullptr : &loop.arcs[loop.edge_arc[i]];
    start += n;
  }
  return edges;
}

// Direction in which the side of a quad leaves `from` towards `to`: along the chord, or the arc's tangent.
Eigen::Vector2d side_direction(const PlanarQuads &mesh, const EdgeArcs &edges, int from, int to) {
  const Eigen::Vector2d chord = mesh.nodes[to] - mesh.nodes[from];
  auto found = edges.find({from, to});
  if (found == edges.end()) found = edges.find({to, from});
  if (found == edges.end() || !found->second) return chord.normalized();
  const Eigen::Vector2d radius = mesh.nodes[from] - found->second->centre;
  const Eigen::Vector2d tangent = Eigen::Vector2d(-radius.y(), radius.x()).normalized();
  return tangent.dot(chord) < 0 ? Eigen::Vector2d(-tangent) : tangent;
}

// Least corner quality with the true directions of curved sides; -1 when a boundary edge is missing.
double curved_quality(const PlanarQuads &mesh, const EdgeArcs &edges) {
  double least = 1;
  std::size_t seen = 0;
  for (const auto &quad : mesh.quads)
    for (int c = 0; c < 4; ++c) {
      const int here = quad[c], next = quad[(c + 1) % 4], previous = quad[(c + 3) % 4];
      const Eigen::Vector2d a = side_direction(mesh, edges, here, next),
                            b = side_direction(mesh, edges, here, previous);
      least = std::min(least, a.x() * b.y() - a.y() * b.x());
      seen += edges.count({here, next});
    }
  return seen == edges.size() ? least : -1;
}

}  // namespace

FlatRegion mesh_flat_region(const std::vector<OutlineLoop> &outer, const std::vector<FlatCutOut> &cut_outs,
                            double size) {
  std::vector<OutlineLoop> fine;
  for (const FlatCutOut &c : cut_outs)
    fine.push_back(cut_out_loop(c.shape, c.centre, c.width, c.height, std::min(c.width, c.height) / 32, 1e300));
  std::vector<double> gaps;
  for (std::size_t i = 0; i < cut_outs.size(); ++i) gaps.push_back(gap_around(i, outer, fine));

  FlatRegion best;
  std::vector<OutlineLoop> best_loops;
  std::string trouble = "no acceptable quadrilaterals";
  // Gmsh's triangulations differ in what they make of narrow webs; the first good one is taken.
  constexpr std::array<std::pair<double, int>, 7> attempts{
      {{1.0, 6}, {1.0, 5}, {0.7, 6}, {0.7, 5}, {0.5, 6}, {0.5, 5}, {0.35, 6}}};
  for (const auto &[part, algorithm] : attempts) {
    const double local = part * size;
    std::vector<OutlineLoop> loops = outer;
    for (std::size_t i = 0; i < cut_outs.size(); ++i) {
      const FlatCutOut &c = cut_outs[i];
      loops.push_back(cut_out_loop(c.shape, c.centre, c.width, c.height,
                                   part * std::min(size, 0.5 * std::min(c.width, c.height)), part * part * gaps[i]));
    }
    std::vector<BoundaryLoop> points;
    for (const OutlineLoop &loop : loops) points.push_back(loop.points);
    PlanarQuads quads;
    try {
      quads = make_planar_quads(points, local, algorithm);
    } catch (const std::string &words) {  // Gmsh throws plain strings
      trouble = words;
      continue;
    } catch (const std::runtime_error &error) {
      trouble = error.what();
      continue;
    }
    quads.least_quality = curved_quality(quads, boundary_edges(loops));
    if (best_loops.empty() || quads.least_quality > best.quads.least_quality) {
      best.quads = quads;
      best_loops = loops;
    }
    if (best.quads.least_quality > good_quality) break;
  }
  if (best_loops.empty() || best.quads.least_quality < least_quality) throw std::runtime_error(trouble);

  std::map<std::pair<int, int>, int> quad_at;
  for (std::size_t q = 0; q < best.quads.quads.size(); ++q)
    for (int e = 0; e < 4; ++e) {
      const auto &quad = best.quads.quads[q];
      quad_at[{quad[e], quad[(e + 1) % 4]}] = int(q);
    }
  int start = 0;
  for (std::size_t l = 0; l < best_loops.size(); ++l) {
    const OutlineLoop &loop = best_loops[l];
    const int n = int(loop.points.size());
    for (int i = 0; i < n; ++i) {
      FlatRegion::RimEdge edge;
      edge.from = start + i;
      edge.to = start + (i + 1) % n;
      edge.quad = quad_at.at({edge.from, edge.to});
      edge.cut_out = l < outer.size() ? -1 : cut_outs[l - outer.size()].id;
      edge.curved = loop.edge_arc[i] >= 0;
      if (edge.curved) edge.arc = loop.arcs[loop.edge_arc[i]];
      if (edge.cut_out >= 0 || edge.curved) best.rim.push_back(edge);
    }
    start += n;
  }
  return best;
}

}  // namespace stillbox
