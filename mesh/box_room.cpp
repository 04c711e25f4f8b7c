// SPDX-License-Identifier: MIT
#include "mesh/box_room.h"

#include <algorithm>
#include <cmath>

#include "mesh/inside_mesh.h"
#include "mesh/mesh_error.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;
using Point = Eigen::Vector2d;

struct Plane3 {
  int axis = 2, p = 0, q = 1;
};

Plane3 plane_of(const BoxedShape &b) {
  const int axis = b.brace_axis >= 0 ? b.brace_axis : 2;
  return {axis, (axis + 1) % 3, (axis + 2) % 3};
}

// A line on the inner face of a wall: straight, or even in the coordinates of a bent one.
Vector3 between(const Board &wall, const Vector3 &from, const Vector3 &to, double part) {
  if (!wall.bend) return from + part * (to - from);
  const Vector3 a = wall.coordinates_of(from), c = a + part * (wall.coordinates_of(to) - a);
  return wall.at(c.x(), c.y(), 0);
}

// The place at fractions of the plane across the braces at `x` of the box: spanned between its four border lines
// (Coons).
Vector3 in_plane(const BoxedShape &b, double x, const Point &part) {
  const Plane3 at = plane_of(b);
  const BoxEdges &e = b.edges;
  std::array<std::array<Vector3, 2>, 2> corner;
  for (const int i : {0, 1})
    for (const int j : {0, 1}) {
      Strips strips;
      strips[std::size_t(at.p)].side = i ? 1 : -1;
      strips[std::size_t(at.q)].side = j ? 1 : -1;
      corner[std::size_t(i)][std::size_t(j)] = place_on(e, edge_of(e, at.axis, strips), part_at(e, at.axis, strips, x));
    }
  Vector3 sum = Vector3::Zero();
  for (const int end : {0, 1}) {
    const std::size_t i = std::size_t(end);
    const double p = end ? part.x() : 1 - part.x(), q = end ? part.y() : 1 - part.y();
    sum += q * between(e.board_at(at.q, end ? 1 : -1), corner[0][i], corner[1][i], part.x());
    sum += p * between(e.board_at(at.p, end ? 1 : -1), corner[i][0], corner[i][1], part.y());
    for (const std::size_t j : {0, 1}) sum -= p * (j ? part.y() : 1 - part.y()) * corner[i][j];
  }
  return sum;
}

// Fractions of a place of a brace's middle plane. Errors: MeshError.
Point fractions_of(const BoxedShape &b, int brace, const Point &wanted) {
  const Board &own = b.shape_board(brace), &likeness = b.box.boards[std::size_t(brace)];
  const double x = likeness.origin[b.brace_axis] + own.thickness() / 2;
  const auto place = [&](const Point &part) -> Point {
    const Vector3 c = own.coordinates_of(in_plane(b, x, part));
    return {c.x(), c.y()};
  };
  Point part(0.5, 0.5);
  constexpr double step = 1e-5;
  for (int turn = 0; turn < 60; ++turn) {
    const Point off = place(part) - wanted;
    if (off.norm() < 1e-10) return part;
    Eigen::Matrix2d slope;
    for (int k = 0; k < 2; ++k)
      slope.col(k) = (place(part + step * Point::Unit(k)) - place(part - step * Point::Unit(k))) / (2 * step);
    part -= slope.inverse() * off;
    if (!part.allFinite()) break;
  }
  throw MeshError("the hole of \"" + own.name + "\" lies outside the room");
}

RoomHole hole_of(const BoxedShape &b, int brace) {
  RoomHole hole;
  hole.level = b.box.boards[std::size_t(brace)].origin[b.brace_axis] + b.shape_board(brace).thickness() / 2;
  const Board &own = b.shape_board(brace), &likeness = b.box.boards[std::size_t(brace)];
  if (likeness.cut_outs.size() > 1)
    throw MeshError("\"" + own.name + "\" has several holes: the air in a [shape] is meshed around one of each brace");
  const Point size = outline_bounds(likeness).second;
  std::array<std::array<Point, 2>, 2> corner;  // fractions in the shape
  Point low(1.0 / 3, 1.0 / 3), high(2.0 / 3, 2.0 / 3);
  if (likeness.cut_outs.empty()) {
    for (const int i : {0, 1})
      for (const int j : {0, 1})
        corner[std::size_t(i)][std::size_t(j)] = {i ? high.x() : low.x(), j ? high.y() : low.y()};
  } else {
    const CutOut &c = likeness.cut_outs.front();
    const Point half = equal_rectangle(c) / 2;
    low = (c.centre - half).cwiseQuotient(size);
    high = (c.centre + half).cwiseQuotient(size);
    const bool is_window = !b.windows.empty() && own.cut_outs.empty();
    for (const int i : {0, 1})
      for (const int j : {0, 1}) {
        const Point in_box = c.centre + Point(i ? half.x() : -half.x(), j ? half.y() : -half.y());
        Point place = in_box;
        if (is_window) {
          for (const BoxWindow &w : b.windows)
            if (w.board == brace) place = window_in_shape(b, w, in_box, 0.5);
        } else {
          place = rim_in_shape(b, brace, 0, in_box);
        }
        corner[std::size_t(i)][std::size_t(j)] = fractions_of(b, brace, place);
      }
  }
  hole.lines = {{{0, low.x(), high.x(), 1}, {0, low.y(), high.y(), 1}}};
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) {
      const Point &inner = corner[i < 2 ? 0 : 1][j < 2 ? 0 : 1];
      hole.fractions[i][j] = {i == 0 ? 0 : i == 3 ? 1 : inner.x(), j == 0 ? 0 : j == 3 ? 1 : inner.y()};
      hole.places[i][j] = in_plane(b, hole.level, hole.fractions[i][j]);
    }
  return hole;
}

// Between the lines of a hole, from a value at each of their crossings.
template <class Value>
Value between_lines(const RoomHole &hole, const std::array<std::array<Value, 4>, 4> &at, const Point &part) {
  std::array<std::size_t, 2> cell{};
  Point within;
  for (std::size_t d = 0; d < 2; ++d) {
    const auto &lines = hole.lines[d];
    while (cell[d] < 2 && part[Eigen::Index(d)] > lines[cell[d] + 1]) ++cell[d];
    within[Eigen::Index(d)] = (part[Eigen::Index(d)] - lines[cell[d]]) / (lines[cell[d] + 1] - lines[cell[d]]);
  }
  const std::size_t i = cell[0], j = cell[1];
  return (1 - within.x()) * ((1 - within.y()) * at[i][j] + within.y() * at[i][j + 1]) +
         within.x() * ((1 - within.y()) * at[i + 1][j] + within.y() * at[i + 1][j + 1]);
}

}  // namespace

RoomMap make_room_map(const std::shared_ptr<const BoxedShape> &boxed) {
  RoomMap map{boxed, {}, false};
  for (const Board &board : boxed->edges.shape->boards) map.any_bent = map.any_bent || board.bend;
  for (const int brace : boxed->braces) map.holes.push_back(hole_of(*boxed, brace));
  return map;
}

Vector3 RoomMap::operator()(const Vector3 &x) const {
  const BoxedShape &b = *boxed;
  const Plane3 at = plane_of(b);
  const BoxEdges &e = b.edges;
  const auto fraction = [&](int axis) {
    return (x[axis] - e.inner_low[axis]) / (e.inner_high[axis] - e.inner_low[axis]);
  };
  const Point part(fraction(at.p), fraction(at.q));
  // The holes below and above, and how far between them; at the ends of the room lines are even.
  const RoomHole *below = nullptr, *above = nullptr;
  double from = e.inner_low[at.axis], to = e.inner_high[at.axis];
  for (std::size_t k = 0; k < b.braces.size(); ++k) {
    const Board &brace = b.box.boards[std::size_t(b.braces[k])];
    const double low = brace.origin[at.axis], high = low + brace.thickness();
    if (x[at.axis] >= low) {
      below = &holes[k];
      from = high;
      if (x[at.axis] > high) continue;
      above = below;
    } else {
      above = &holes[k];
      to = low;
    }
    break;
  }
  const double way = to > from ? std::clamp((x[at.axis] - from) / (to - from), 0.0, 1.0) : 0;
  // Bent walls: other fractions, so that borders stay on the walls. Flat ones: moved in the plane, along them.
  if (any_bent) {
    const Point p = below ? between_lines(*below, below->fractions, part) : part,
                q = above ? between_lines(*above, above->fractions, part) : part;
    return in_plane(b, x[at.axis], p + way * (q - p));
  }
  const auto move = [&](const RoomHole *hole) -> Vector3 {
    if (!hole) return Vector3::Zero();
    return between_lines(*hole, hole->places, part) - in_plane(b, hole->level, part);
  };
  return in_plane(b, x[at.axis], part) + (1 - way) * move(below) + way * move(above);
}

}  // namespace stillbox
