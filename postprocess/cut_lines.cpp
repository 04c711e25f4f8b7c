// SPDX-License-Identifier: MIT
#include "postprocess/cut_lines.h"

#include <algorithm>
#include <cmath>

namespace stillbox {

using Vector2 = Eigen::Vector2d;
using Vector3 = Eigen::Vector3d;

Eigen::Vector2d CutArc::at(double part) const {
  const double angle = from + part * sweep;
  return centre + radius * Vector2(std::cos(angle), std::sin(angle));
}

std::optional<CutArc> arc_of(const CutLine &l) {
  const auto cross = [](const Vector2 &a, const Vector2 &b) { return a.x() * b.y() - a.y() * b.x(); };
  const Vector2 a = l.middle - l.from, b = l.to - l.from;
  CutArc arc;
  if (b.norm() < same_cut_place) {
    arc.centre = (l.from + l.middle) / 2;
    arc.sweep = 2 * M_PI;
  } else {
    const double twice = 2 * cross(a, b);
    if (std::abs(twice) < 1e-12) return std::nullopt;
    arc.centre = l.from + Vector2(b.y() * a.squaredNorm() - a.y() * b.squaredNorm(),
                                  a.x() * b.squaredNorm() - b.x() * a.squaredNorm()) /
                              twice;
    const Vector2 from = l.from - arc.centre, middle = l.middle - arc.centre, to = l.to - arc.centre;
    const auto between = [&](const Vector2 &p, const Vector2 &q) { return std::atan2(cross(p, q), p.dot(q)); };
    arc.sweep = between(from, middle) + between(middle, to);
  }
  const Vector2 start = l.from - arc.centre;
  arc.from = std::atan2(start.y(), start.x());
  arc.radius = start.norm();
  return arc;
}

CutLine flat_line(const Board &board, const SolidEdge &edge) {
  const auto place = [&](const Vector3 &x) -> Vector2 { return board.coordinates_of(x).head<2>(); };
  return {place(edge.from), place(edge.middle), place(edge.to), edge.is_straight};
}

std::vector<CutLine> flat_loop(const Board &board, const std::vector<SolidEdge> &loop) {
  std::vector<CutLine> lines;
  double twice = 0;
  for (const SolidEdge &edge : loop) {
    lines.push_back(flat_line(board, edge));
    const CutLine &l = lines.back();
    twice += l.from.x() * l.middle.y() - l.middle.x() * l.from.y() + l.middle.x() * l.to.y() - l.to.x() * l.middle.y();
  }
  if (twice < 0) {  // anticlockwise
    std::reverse(lines.begin(), lines.end());
    for (CutLine &l : lines) std::swap(l.from, l.to);
  }
  return lines;
}

std::vector<Vector2> points_of(const std::vector<CutLine> &loop) {
  constexpr int parts = 32;
  std::vector<Vector2> points;
  for (const CutLine &l : loop) {
    points.push_back(l.from);
    const auto arc = l.is_straight ? std::nullopt : arc_of(l);
    for (int k = 1; arc && k < parts; ++k) points.push_back(arc->at(double(k) / parts));
  }
  return points;
}

double turn(const Vector2 &a, const Vector2 &b, const Vector2 &c) {
  return (b - a).x() * (c - b).y() - (b - a).y() * (c - b).x();
}

bool is_convex(const std::vector<Vector2> &p) {
  for (std::size_t i = 0; i < p.size(); ++i)
    if (turn(p[i], p[(i + 1) % p.size()], p[(i + 2) % p.size()]) < -1e-9) return false;
  return true;
}

std::vector<Vector2> hull_of(std::vector<Vector2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vector2 &a, const Vector2 &b) { return std::pair(a.x(), a.y()) < std::pair(b.x(), b.y()); });
  std::vector<Vector2> hull;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = hull.size();
    for (const Vector2 &p : points) {
      while (hull.size() >= start + 2 && turn(hull[hull.size() - 2], hull.back(), p) < 1e-10) hull.pop_back();
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

bool is_inside(const std::vector<Vector2> &polygon, const Vector2 &p) {
  bool inside = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const Vector2 &a = polygon[i], &b = polygon[j];
    if ((a.y() > p.y()) != (b.y() > p.y()) && p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside;
}

void shift(std::vector<CutLine> &lines, const Vector2 &by) {
  for (CutLine &l : lines) {
    l.from -= by;
    l.middle -= by;
    l.to -= by;
  }
}

}  // namespace stillbox
