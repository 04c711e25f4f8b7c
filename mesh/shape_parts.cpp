// SPDX-License-Identifier: MIT
#include "mesh/shape_parts.h"

#include <array>

namespace stillbox {

namespace {

using Vector3 = Eigen::Vector3d;
using Point = Eigen::Vector2d;

}  // namespace

Vector3 meet(const Plane &a, const Plane &b, const Plane &c) {
  Eigen::Matrix3d m;
  m << a.normal.transpose(), b.normal.transpose(), c.normal.transpose();
  return m.partialPivLu().solve(Vector3(a.offset, b.offset, c.offset));
}

SolidBody between(const std::vector<Vector3> &low, const std::vector<Vector3> &high) {
  SolidBody body;
  const int n = int(low.size());
  body.corners = low;
  body.corners.insert(body.corners.end(), high.begin(), high.end());
  std::vector<int> floor, ceiling;
  for (int i = 0; i < n; ++i) {
    floor.push_back(n - 1 - i);
    ceiling.push_back(n + i);
    body.faces.push_back({i, (i + 1) % n, n + (i + 1) % n, n + i});
  }
  body.faces.push_back(floor);
  body.faces.push_back(ceiling);
  return body;
}

std::vector<Point> points_of(const ProfileLoop &loop) {
  std::vector<Point> points;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Point a = loop[i].from, b = loop[(i + 1) % loop.size()].from, c = loop[i].centre;
    points.push_back(a);
    if (!loop[i].is_arc) continue;
    const double from = std::atan2(a.y() - c.y(), a.x() - c.x());
    const double sweep = std::remainder(std::atan2(b.y() - c.y(), b.x() - c.x()) - from, 2 * M_PI);
    for (int k = 1; k < 16; ++k) {
      const double angle = from + sweep * k / 16;
      points.push_back(c + (a - c).norm() * Point(std::cos(angle), std::sin(angle)));
    }
  }
  return points;
}

Board wall_board(const std::string &name, double thickness) {
  Board board;
  board.name = name;
  board.role = BoardRole::wall;
  board.layers = {{0, thickness, 0}};
  return board;
}

Chamfer make_chamfer(const ShapedCabinet &cabinet, int first, int second, double a, double b) {
  const Board &A = cabinet.boards[std::size_t(first)], &B = cabinet.boards[std::size_t(second)];
  const Vector3 na = A.normal(), nb = B.normal(), along = na.cross(nb).normalized();
  const Plane outer_a{na, na.dot(A.origin) + A.thickness()}, outer_b{nb, nb.dot(B.origin) + B.thickness()};
  const auto edge_at = [&](double s) { return meet(outer_a, outer_b, {along, s}); };
  // Away from the edge within each face.
  Vector3 in_a = along.cross(na), in_b = along.cross(nb);
  if (in_a.dot(nb) > 0) in_a = -in_a;
  if (in_b.dot(na) > 0) in_b = -in_b;
  double low = 1e300, high = -1e300;
  for (const SolidBody &body : cabinet.solids.bodies)
    for (const Vector3 &x : body.corners) {
      low = std::min(low, along.dot(x));
      high = std::max(high, along.dot(x));
    }
  const double beyond = 0.2 * (a + b);
  std::array<std::vector<Vector3>, 2> ring;
  for (int end = 0; end < 2; ++end) {
    const Vector3 p = edge_at(end == 0 ? low - beyond : high + beyond);
    const Vector3 pa = p + a * in_a, pb = p + b * in_b, out = 0.1 * (pa - pb);
    ring[std::size_t(end)] = {pa + out, pb - out, p + (a + b) / 2 * (na + nb)};
  }
  Chamfer c;
  c.body = between(ring[0], ring[1]);
  const Vector3 p = edge_at(low), pa = p + a * in_a, pb = p + b * in_b;
  Vector3 normal = (pa - pb).cross(along).normalized();
  if (normal.dot(na + nb) < 0) normal = -normal;
  c.plane = {pa, normal};
  const Vector3 inner = meet({na, outer_a.offset - A.thickness()}, {nb, outer_b.offset - B.thickness()}, {along, low});
  c.margin = -normal.dot(inner - pa);
  return c;
}

std::vector<double> rims_at(const ShapedCabinet &cabinet, int axis, double low, double high, double rim) {
  constexpr double same_place = 1e-6;
  std::vector<double> rims;
  for (const Board &wall : cabinet.boards) {
    double from = 1e300, to = -1e300;  // extent of its inner face along the axis
    for (const Vector3 &x : cabinet.room_points) {
      if (std::abs(wall.coordinates_of(x).z()) > same_place) continue;
      from = std::min(from, x[axis]);
      to = std::max(to, x[axis]);
    }
    rims.push_back(from < high - same_place && to > low + same_place ? rim : 0);
  }
  return rims;
}

SolidBody slab(const ShapedCabinet &cabinet, int axis, double low, double high) {
  Vector3 from = cabinet.room_points.front(), to = from;
  for (const Vector3 &x : cabinet.room_points) {
    from = from.cwiseMin(x);
    to = to.cwiseMax(x);
  }
  from.array() -= 5e-3;
  to.array() += 5e-3;
  from[axis] = low;
  to[axis] = high;
  return between(
      {{from.x(), from.y(), from.z()},
       {to.x(), from.y(), from.z()},
       {to.x(), to.y(), from.z()},
       {from.x(), to.y(), from.z()}},
      {{from.x(), from.y(), to.z()}, {to.x(), from.y(), to.z()}, {to.x(), to.y(), to.z()}, {from.x(), to.y(), to.z()}});
}

}  // namespace stillbox
