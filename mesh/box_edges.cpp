// SPDX-License-Identifier: MIT
#include "mesh/box_edges.h"

#include <algorithm>
#include <cmath>

#include "mesh/shape_parts.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;

constexpr double same_place = 1e-9;  // m

// The plane of a flat board at a depth (0 inner face, 1 outer face).
Plane plane_of(const Board &board, double depth) {
  return {board.normal(), board.normal().dot(board.origin) + depth * board.thickness()};
}

// Which way a wall's u runs along an axis of the box: walls in turn run along x, y, -x, -y.
double direction_of(int wall, int axis) {
  if (wall == 0 || wall == 1) return axis == wall ? 1 : 0;
  return axis == wall - 2 ? -1 : 0;
}

// Where three faces meet, bent ones too: at depths of 0 at the inner and 1 at the outer faces.
Vector3 newton(const std::array<const Board *, 3> &boards, const std::array<double, 3> &depth, Vector3 x) {
  for (int step = 0; step < 60; ++step) {
    Vector3 off;
    Eigen::Matrix3d slope;
    for (int k = 0; k < 3; ++k) {
      const Board &board = *boards[std::size_t(k)];
      off[k] = board.coordinates_of(x).z() - depth[std::size_t(k)] * board.thickness();
      slope.row(k) = board.axes_at(x).col(2).transpose();
    }
    const Vector3 change = slope.inverse() * off;
    x -= change;
    if (change.norm() < 1e-14) break;
  }
  return x;
}

int bent_of(const BoxEdges &e, const Strips &strips) {
  for (int axis = 0; axis < 3; ++axis)
    if (strips[std::size_t(axis)].side != 0 && e.board_at(axis, strips[std::size_t(axis)].side).bend)
      return e.wall_at(axis, strips[std::size_t(axis)].side);
  return -1;
}

// Moves depths in a bevelled edge: the notch's corner to the middle of the bevel, its sides into the bevel, and what
// lies before them in proportion.
void bevel_depths(const BoxEdges &e, Strips &strips) {
  for (const BoxBevel &b : e.bevels) {
    std::array<Strip *, 2> strip{&strips[std::size_t(b.axis[0])], &strips[std::size_t(b.axis[1])]};
    if (strip[0]->side != b.side[0] || strip[1]->side != b.side[1]) continue;
    const Eigen::Vector2d d(strip[0]->depth, strip[1]->depth), line(b.line[0], b.line[1]);
    const Eigen::Vector2d middle((1 + b.cut[0]) / 2, (1 + b.cut[1]) / 2);
    const Eigen::Vector2d part = d.cwiseQuotient(line).cwiseMin(1);
    // Along the side that starts on the outer face of wall k, at the depth `line` of the other wall.
    const auto shift_at = [&](std::size_t k) -> Eigen::Vector2d {
      Eigen::Vector2d from, at;
      from[Eigen::Index(k)] = 1;
      from[Eigen::Index(1 - k)] = b.cut[1 - k];
      const double outer = std::max(d[Eigen::Index(k)], b.line[k]);
      at[Eigen::Index(k)] = outer;
      at[Eigen::Index(1 - k)] = b.line[1 - k];
      return from + (1 - outer) / (1 - b.line[k]) * (middle - from) - at;
    };
    Eigen::Vector2d shift = part.x() * part.y() * (middle - line);
    if (d.x() > line.x() + same_place)
      shift = part.y() * shift_at(0);
    else if (d.y() > line.y() + same_place)
      shift = part.x() * shift_at(1);
    strip[0]->depth += shift.x();
    strip[1]->depth += shift.y();
  }
}

}  // namespace

Strips strips_of(const BoxEdges &e, const Vector3 &x) {
  Strips strips;
  for (int axis = 0; axis < 3; ++axis) {
    Strip &strip = strips[std::size_t(axis)];
    const double below = e.inner_low[axis] - x[axis], above = x[axis] - e.inner_high[axis];
    if (below > same_place) strip = {-1, below / e.thickness[std::size_t(2 * axis)]};
    if (above > same_place) strip = {1, above / e.thickness[std::size_t(2 * axis + 1)]};
  }
  return strips;
}

Vector3 corner_of(const BoxEdges &e, const Strips &strips) {
  std::array<const Board *, 3> boards{};
  std::array<double, 3> depth{};
  int bent = -1;
  for (int axis = 0; axis < 3; ++axis) {
    const std::size_t a = std::size_t(axis);
    boards[a] = &e.board_at(axis, strips[a].side);
    depth[a] = strips[a].depth;
    if (boards[a]->bend) bent = axis;
  }
  if (bent < 0)
    return meet(plane_of(*boards[0], depth[0]), plane_of(*boards[1], depth[1]), plane_of(*boards[2], depth[2]));
  // From the outer corner of the footprint.
  const int wall = e.wall_at(bent, strips[std::size_t(bent)].side), other = 1 - bent;
  const auto [low, high] = outline_bounds(*boards[std::size_t(bent)]);
  const bool at_end = direction_of(wall, other) * strips[std::size_t(other)].side > 0;
  const Board &lid = *boards[2];
  const double level = lid.origin.z() + lid.normal().z() * depth[2] * lid.thickness();
  Vector3 start =
      boards[std::size_t(bent)]->at(at_end ? high.x() : low.x(), level, boards[std::size_t(bent)]->thickness());
  start.z() = level;
  return newton(boards, depth, start);
}

BoxEdge edge_of(const BoxEdges &e, int axis, const Strips &strips) {
  BoxEdge edge;
  Strips ends = strips;
  ends[std::size_t(axis)] = {0, 0};
  if (axis != 2) edge.chart = bent_of(e, ends);
  ends[std::size_t(axis)] = {-1, 0};
  edge.from = corner_of(e, ends);
  ends[std::size_t(axis)] = {1, 0};
  edge.to = corner_of(e, ends);
  if (edge.chart < 0) return edge;
  edge.chart_from = e.shape->boards[std::size_t(edge.chart)].coordinates_of(edge.from);
  edge.chart_to = e.shape->boards[std::size_t(edge.chart)].coordinates_of(edge.to);
  return edge;
}

Vector3 place_on(const BoxEdges &e, const BoxEdge &edge, double part) {
  if (edge.chart < 0) return edge.from + part * (edge.to - edge.from);
  const Vector3 c = edge.chart_from + part * (edge.chart_to - edge.chart_from);
  return e.shape->boards[std::size_t(edge.chart)].at(c.x(), c.y(), c.z());
}

double length_of(const BoxEdge &edge) {
  return edge.chart < 0 ? (edge.to - edge.from).norm() : (edge.chart_to - edge.chart_from).norm();
}

double part_at(const BoxEdges &e, int axis, const Strips &strips, double x) {
  const int b = (axis + 1) % 3, c = (axis + 2) % 3;
  const std::size_t which = std::size_t((strips[std::size_t(b)].side > 0) + 2 * (strips[std::size_t(c)].side > 0));
  const std::vector<double> &knots = e.knots[std::size_t(axis)], &parts = e.parts[std::size_t(axis)][which];
  std::size_t i = 0;
  while (i + 2 < knots.size() && x > knots[i + 1]) ++i;
  return parts[i] + (parts[i + 1] - parts[i]) * (x - knots[i]) / (knots[i + 1] - knots[i]);
}

Vector3 meet_in_room(const Board &first, double depth_first, const Board &second, double depth_second,
                     const Board &level, const Vector3 &start) {
  return newton({&first, &second, &level}, {depth_first, depth_second, 0}, start);
}

EdgePlace place_at(const BoxEdges &e, int axis, const Strips &strips, double x) {
  Strips at_inner = strips;
  double thickness = 0;
  for (const int other : {(axis + 1) % 3, (axis + 2) % 3}) {
    at_inner[std::size_t(other)].depth = 0;
    if (strips[std::size_t(other)].depth > 0)
      thickness = std::max(thickness, e.board_at(other, strips[std::size_t(other)].side).thickness());
  }
  const BoxEdge edge = edge_of(e, axis, strips), inner = edge_of(e, axis, at_inner);
  const double part = part_at(e, axis, strips, x);
  const bool is_bent = edge.chart >= 0;
  const Vector3 from = is_bent ? edge.chart_from : edge.from, to = is_bent ? edge.chart_to : edge.to;
  EdgePlace place{edge.chart, from + part * (to - from), {0, 0, 0}};
  if (thickness > 0) {
    const Vector3 inner_from = is_bent ? inner.chart_from : inner.from, inner_to = is_bent ? inner.chart_to : inner.to;
    const double length = (inner_to - inner_from).norm();
    const Vector3 way = (to - from) / (to - from).squaredNorm();
    // Parts of the outer edge square to the inner one's ends, and how far these lean.
    const double square_from = (inner_from - from).dot(way), square_to = (inner_to - from).dot(way);
    const double lean = std::max(std::abs(square_from), std::abs(square_to - 1)) * (to - from).norm();
    const double reach = std::max(lean_reach * thickness, steepest_lean * lean);
    const auto dying = [&](double distance) {
      return std::sinh((length - distance) / reach) / std::sinh(length / reach);
    };
    const double on_edge = square_from + part * (square_to - square_from) - square_from * dying(part * length) +
                           (1 - square_to) * dying((1 - part) * length);
    place.coordinates = from + on_edge * (to - from);
  }
  place.at = place.coordinates;
  if (is_bent) place.at = e.shape->boards[std::size_t(edge.chart)].at(place.at.x(), place.at.y(), place.at.z());
  return place;
}

Vector3 place_in_block(const BoxEdges &e, const Vector3 &x) {
  Strips strips = strips_of(e, x);
  bevel_depths(e, strips);
  int along = -1;
  for (int axis = 0; axis < 3; ++axis)
    if (strips[std::size_t(axis)].side == 0) along = axis;
  if (along < 0) return corner_of(e, strips);
  const int b = (along + 1) % 3, c = (along + 2) % 3;
  const double depth_b = strips[std::size_t(b)].depth, depth_c = strips[std::size_t(c)].depth;
  const auto edge_at = [&](double to_b, double to_c) {
    Strips at = strips;
    at[std::size_t(b)].depth = to_b;
    at[std::size_t(c)].depth = to_c;
    return place_at(e, along, at, x[along]);
  };
  const EdgePlace inner = edge_at(0, 0), outer_b = edge_at(1, 0), outer_c = edge_at(0, 1);
  const Vector3 p = inner.coordinates + depth_b * (outer_b.coordinates - inner.coordinates) +
                    depth_c * (outer_c.coordinates - inner.coordinates);
  // Top or bottom on a bent wall: even in the wall's own coordinates.
  if (inner.chart >= 0) return e.shape->boards[std::size_t(inner.chart)].at(p.x(), p.y(), p.z());
  const Vector3 flat = p;
  if (bent_of(e, strips) < 0) return flat;
  const Board level = make_rectangle("", {0, 0, flat.z()}, Vector3::UnitX(), Vector3::UnitY(), 1, 1, 1, 0);
  return newton({&e.board_at(b, strips[std::size_t(b)].side), &e.board_at(c, strips[std::size_t(c)].side), &level},
                {depth_b, depth_c, 0}, flat);
}

}  // namespace stillbox
