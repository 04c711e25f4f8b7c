// SPDX-License-Identifier: MIT
#include "mesh/outline_loops.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

// Number of coarse edges for an arc: from the wanted size, and from the arc's height over its chord.
int arc_edges(double radius, double angle, double size, double gap) {
  const int by_size = int(std::ceil(radius * angle / (2 * size)));
  const double height = std::min(1.0, 0.3 * gap / radius);
  const int by_gap = int(std::ceil(angle / (2 * std::acos(1 - height))));
  return std::clamp(std::max({by_size, by_gap, int(std::ceil(angle / (M_PI / 2) - 1e-9))}), 1, 64);
}

// Appends the coarse edges from angle `from` over `sweep`, without the end point.
void add_arc(OutlineLoop &loop, const Arc &arc, double from, double sweep, int edges) {
  const int id = int(loop.arcs.size());
  loop.arcs.push_back(arc);
  for (int i = 0; i < 2 * edges; ++i) {
    const double angle = from + sweep * i / (2 * edges);
    loop.points.push_back(arc.centre + arc.radius * Eigen::Vector2d(std::cos(angle), std::sin(angle)));
    loop.edge_arc.push_back(id);
  }
}

void add_straight(OutlineLoop &loop, const Eigen::Vector2d &a, const Eigen::Vector2d &b, double size) {
  const int edges = std::max(1, int(std::ceil((b - a).norm() / (2 * size) - 1e-9)));
  for (int i = 0; i < 2 * edges; ++i) {
    loop.points.push_back(a + (b - a) * i / (2.0 * edges));
    loop.edge_arc.push_back(-1);
  }
}

}  // namespace

OutlineLoop cut_out_loop(CutOutShape shape, const Eigen::Vector2d &centre, double width, double height, double size,
                         double gap) {
  OutlineLoop loop;
  const double w = width / 2, h = height / 2;
  const auto at = [&](double x, double y) { return Eigen::Vector2d(centre.x() + x, centre.y() + y); };
  switch (shape) {
    case CutOutShape::round: {
      int edges = arc_edges(w, 2 * M_PI, size, gap);
      edges += edges % 2;
      add_arc(loop, {centre, w}, M_PI / edges, -2 * M_PI, edges);
      break;
    }
    case CutOutShape::rectangle:
      size = std::min(size, 3 * gap);
      add_straight(loop, at(-w, -h), at(-w, h), size);
      add_straight(loop, at(-w, h), at(w, h), size);
      add_straight(loop, at(w, h), at(w, -h), size);
      add_straight(loop, at(w, -h), at(-w, -h), size);
      break;
    case CutOutShape::slot: {
      const double r = std::min(w, h), straight = std::max(w, h) - r;
      const int edges = arc_edges(r, M_PI, size, gap);
      if (straight < 1e-6) return cut_out_loop(CutOutShape::round, centre, 2 * r, 2 * r, size, gap);
      if (w >= h) {
        add_arc(loop, {at(straight, 0), r}, M_PI / 2, -M_PI, edges);
        add_straight(loop, at(straight, -r), at(-straight, -r), size);
        add_arc(loop, {at(-straight, 0), r}, -M_PI / 2, -M_PI, edges);
        add_straight(loop, at(-straight, r), at(straight, r), size);
      } else {
        add_arc(loop, {at(0, straight), r}, M_PI, -M_PI, edges);
        add_straight(loop, at(r, straight), at(r, -straight), size);
        add_arc(loop, {at(0, -straight), r}, 0, -M_PI, edges);
        add_straight(loop, at(-r, -straight), at(-r, straight), size);
      }
      break;
    }
  }
  return loop;
}

OutlineLoop board_loop(const Board &board, double size) {
  OutlineLoop loop;
  if (board.disc_radius > 0) {
    const int edges = std::max(4, 2 * int(std::ceil(M_PI * board.disc_radius / (2 * size))));
    add_arc(loop, {{0, 0}, board.disc_radius}, M_PI / edges, 2 * M_PI, edges);
  } else {
    for (std::size_t i = 0; i < board.outline.size(); ++i)
      add_straight(loop, board.outline[i], board.outline[(i + 1) % board.outline.size()], size);
  }
  return loop;
}

double segment_distance(const Eigen::Vector2d &point, const Eigen::Vector2d &a, const Eigen::Vector2d &b) {
  const double along = std::clamp((point - a).dot(b - a) / (b - a).squaredNorm(), 0.0, 1.0);
  return (point - a - along * (b - a)).norm();
}

double loop_distance(const BoundaryLoop &points, const BoundaryLoop &edges) {
  double least = 1e300;
  for (const Eigen::Vector2d &p : points)
    for (std::size_t i = 0; i < edges.size(); ++i)
      least = std::min(least, segment_distance(p, edges[i], edges[(i + 1) % edges.size()]));
  return least;
}

}  // namespace stillbox
