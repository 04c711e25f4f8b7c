// SPDX-License-Identifier: MIT
#include "mesh/shape_boards.h"

#include <array>
#include <cmath>

#include "mesh/shape_parts.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;
using Point = Eigen::Vector2d;

constexpr double least_edge = 2e-3;  // m

Point flat(const Vector3 &x) { return {x.x(), x.y()}; }
Vector3 raised(const Point &p, double z) { return {p.x(), p.y(), z}; }

// Everything about a footprint that its parts ask.
struct Frame {
  const Shape &shape;
  int count;
  explicit Frame(const Shape &s) : shape(s), count(int(s.walls.size())) {}
  const ShapeWall &wall(int i) const { return shape.walls[std::size_t((i % count + count) % count)]; }
  bool any_bent() const {
    for (const ShapeWall &w : shape.walls)
      if (w.radius != 0) return true;
    return false;
  }
  double rim_of(const std::vector<double> &rims, int i) const {
    return rims.empty() ? 0 : rims[std::size_t((i % count + count) % count)];
  }
  Point along(int i) const { return (wall(i + 1).corner - wall(i).corner).normalized(); }
  Point outward(int i) const { return {along(i).y(), -along(i).x()}; }
  Vector3 normal(int i) const {
    const double slope = wall(i).slope;
    return raised(std::cos(slope) * outward(i), std::sin(slope));
  }
  /// The plane `depth` below the outer face of a flat wall.
  Plane plane(int i, double depth) const { return {normal(i), normal(i).dot(raised(wall(i).corner, 0)) - depth}; }
  Plane top(double depth) const { return {Vector3::UnitZ(), shape.height - depth}; }
  Plane bottom(double depth) const { return {-Vector3::UnitZ(), -depth}; }
  /// Where wall i ends at the corner with its neighbour.
  Plane end(int i, int neighbour) const {
    const ShapeWall &own = wall(i), &other = wall(neighbour);
    if (!shape.mitred) return plane(neighbour, own.rank < other.rank ? 0 : other.thickness);
    const Plane a = plane(i, 0), b = plane(neighbour, 0);
    return {a.normal / own.thickness - b.normal / other.thickness,
            a.offset / own.thickness - b.offset / other.thickness};
  }
  Plane upper_end(int i) const { return top(wall(i).rank < shape.top_rank ? 0 : shape.top_thickness); }
  Plane lower_end(int i) const { return bottom(wall(i).rank < shape.bottom_rank ? 0 : shape.bottom_thickness); }

  // Bent walls: in the plane of the footprint.
  Point centre(int i) const {
    const ShapeWall &w = wall(i);
    const Point middle = (w.corner + wall(i + 1).corner) / 2;
    const double half = (wall(i + 1).corner - w.corner).norm() / 2;
    return middle - (w.radius > 0 ? 1 : -1) * std::sqrt(w.radius * w.radius - half * half) * outward(i);
  }
  /// Signed distance outwards from the outer face, and its slope.
  double distance(int i, const Point &x, Point &slope) const {
    const ShapeWall &w = wall(i);
    if (w.radius == 0) {
      slope = outward(i);
      return slope.dot(x - w.corner);
    }
    const Point from = x - centre(i);
    slope = (w.radius > 0 ? 1 : -1) * from.normalized();
    return w.radius > 0 ? from.norm() - w.radius : -w.radius - from.norm();
  }
  /// Corner i (between wall i - 1 and wall i) moved inwards by the depths of the two walls. NaN where there is none.
  Point inner_corner(int i, double depth_before, double depth) const {
    const Point corner = wall(i).corner;
    Point a, b;
    distance(i - 1, corner, a);
    distance(i, corner, b);
    if (std::abs(a.x() * b.y() - a.y() * b.x()) < 1e-3) return corner - depth * b;  // the walls run on smoothly
    Point x = corner - (depth_before * a + depth * b) / 2;
    for (int step = 0; step < 50; ++step) {
      const Point f(distance(i - 1, x, a) + depth_before, distance(i, x, b) + depth);
      Eigen::Matrix2d m;
      m << a.transpose(), b.transpose();
      const Point change = m.inverse() * f;
      x -= change;
      if (change.norm() < 1e-13) break;
    }
    return x;
  }
  /// With the walls' faces moved inwards by `depth` (m, of a wall's number), wall i has an edge left at height z that
  /// runs forwards.
  template <typename Depth>
  bool runs_on(int i, double z, Depth depth) const {
    const auto corner = [&](int k) {
      if (any_bent()) return inner_corner(k, depth(k - 1), depth(k));
      return flat(meet(plane(k - 1, depth(k - 1)), plane(k, depth(k)), {Vector3::UnitZ(), z}));
    };
    const Point from = corner(i), to = corner(i + 1);
    return from.allFinite() && to.allFinite() && (to - from).dot(along(i)) >= least_edge;
  }
  /// Loop of the footprint moved inwards by each wall's thickness times `part`, and by its rim.
  ProfileLoop loop(double part, const std::vector<double> &rims = {}) const {
    ProfileLoop list;
    for (int i = 0; i < count; ++i) {
      const auto depth = [&](int k) { return part * wall(k).thickness + rim_of(rims, k); };
      list.push_back({part == 0 && rims.empty() ? wall(i).corner : inner_corner(i, depth(i - 1), depth(i)),
                      wall(i).radius != 0, wall(i).radius != 0 ? centre(i) : Point(0, 0)});
    }
    return list;
  }
};

SolidBody raised_profile(const ProfileLoop &loop, double low, double high) {
  SolidBody body;
  body.profile = {loop};
  body.origin = {0, 0, low};
  body.height = high - low;
  return body;
}

// The room inside all walls, made smaller by rims (none: by nothing), from one height to another.
SolidBody room_between(const Frame &f, const std::vector<double> &rims, double low, double high) {
  if (f.any_bent()) return raised_profile(f.loop(1, rims), low, high);
  std::array<std::vector<Vector3>, 2> ring;
  for (int i = 0; i < f.count; ++i) {
    const auto inner = [&](int k) { return f.plane(k, f.wall(k).thickness + f.rim_of(rims, k)); };
    for (std::size_t end = 0; end < 2; ++end)
      ring[end].push_back(meet(inner(i - 1), inner(i), {Vector3::UnitZ(), end == 0 ? low : high}));
  }
  return between(ring[0], ring[1]);
}

std::vector<Point> in_board(const Board &board, const std::vector<Vector3> &places) {
  std::vector<Point> list;
  for (const Vector3 &x : places) {
    const Vector3 p = board.coordinates_of(x);
    list.emplace_back(p.x(), p.y());
  }
  return list;
}

// Ring of the top's or bottom's outer (depth 0) or inner face, anticlockwise from above.
std::vector<Vector3> lid_ring(const Frame &f, bool is_top, double depth, double side_part) {
  std::vector<Vector3> ring;
  const int rank = is_top ? f.shape.top_rank : f.shape.bottom_rank;
  for (int i = 0; i < f.count; ++i) {
    const auto side = [&](int k) {
      const ShapeWall &w = f.wall(k);
      return f.plane(k, side_part >= 0 ? side_part * w.thickness : w.rank < rank ? w.thickness : 0);
    };
    ring.push_back(meet(side(i - 1), side(i), is_top ? f.top(depth) : f.bottom(depth)));
  }
  return ring;
}

void add_flat_walls(const Frame &f, ShapedCabinet &c) {
  for (int i = 0; i < f.count; ++i) {
    const ShapeWall &w = f.wall(i);
    Board board = wall_board(w.name, w.thickness);
    board.u = raised(f.along(i), 0);
    board.v = f.normal(i).cross(board.u);
    board.origin = raised(w.corner, 0) - w.thickness * f.normal(i);
    const Plane start = f.end(i, i - 1), finish = f.end(i, i + 1);
    std::array<std::vector<Vector3>, 2> ring;  // inner, outer face
    for (int side = 0; side < 2; ++side) {
      const Plane face = f.plane(i, side == 0 ? w.thickness : 0);
      ring[std::size_t(side)] = {meet(face, start, f.lower_end(i)), meet(face, finish, f.lower_end(i)),
                                 meet(face, finish, f.upper_end(i)), meet(face, start, f.upper_end(i))};
    }
    board.outline = in_board(board, ring[1]);
    SolidBody body = between(ring[0], ring[1]);
    body.board = i;
    c.solids.bodies.push_back(body);
    const Plane inner = f.plane(i, w.thickness), before = f.plane(i - 1, f.wall(i - 1).thickness),
                after = f.plane(i + 1, f.wall(i + 1).thickness), low = f.bottom(f.shape.bottom_thickness),
                high = f.top(f.shape.top_thickness);
    c.clear.push_back(in_board(board, {meet(inner, before, low), meet(inner, after, low), meet(inner, after, high),
                                       meet(inner, before, high)}));
    c.boards.push_back(board);
  }
}

void add_profile_walls(const Frame &f, ShapedCabinet &c) {
  const ProfileLoop outer = f.loop(0), inner = f.loop(1);
  for (int i = 0; i < f.count; ++i) {
    const ShapeWall &w = f.wall(i);
    const std::size_t at = std::size_t(i), next = std::size_t((i + 1) % f.count);
    const double low = -f.lower_end(i).offset, high = f.upper_end(i).offset;
    Board board = wall_board(w.name, w.thickness);
    board.v = Vector3::UnitZ();
    double extent = (outer[next].from - outer[at].from).norm();
    double first = 0;
    if (w.radius == 0) {
      board.u = raised(f.along(i), 0);
      board.origin = raised(w.corner - w.thickness * f.outward(i), 0);
    } else {
      Bend bend;
      bend.centre = raised(f.centre(i), 0);
      bend.radius = std::abs(w.radius);
      bend.hollow = w.radius < 0;
      Point normal;
      f.distance(i, w.corner, normal);
      board.u = raised(Point(-normal.y(), normal.x()), 0);
      board.origin = raised(w.corner - w.thickness * normal, 0);
      extent = 2 * bend.radius * std::asin(extent / 2 / bend.radius);
      board.bend = bend;
    }
    board.outline = {{first, low}, {first + extent, low}, {first + extent, high}, {first, high}};
    SolidBody body = raised_profile(
        {outer[at], {outer[next].from}, {inner[next].from, inner[at].is_arc, inner[at].centre}, {inner[at].from}}, low,
        high);
    body.board = i;
    c.solids.bodies.push_back(body);
    c.clear.emplace_back();
    if (w.radius == 0)
      c.clear.back() = in_board(
          board, {raised(inner[at].from, f.shape.bottom_thickness), raised(inner[next].from, f.shape.bottom_thickness),
                  raised(inner[next].from, f.shape.height - f.shape.top_thickness),
                  raised(inner[at].from, f.shape.height - f.shape.top_thickness)});
    c.boards.push_back(board);
  }
}

void add_lid(const Frame &f, bool is_top, ShapedCabinet &c) {
  const double thickness = is_top ? f.shape.top_thickness : f.shape.bottom_thickness, height = f.shape.height;
  Board board = wall_board(is_top ? "top" : "bottom", thickness);
  board.u = is_top ? Vector3::UnitX() : Vector3(-Vector3::UnitX());
  board.v = Vector3::UnitY();
  std::vector<Vector3> outer, inner, room;
  SolidBody body;
  if (f.any_bent()) {
    const bool within = f.wall(0).rank < (is_top ? f.shape.top_rank : f.shape.bottom_rank);
    const ProfileLoop loop = f.loop(within ? 1 : 0);
    const double low = is_top ? height - thickness : 0;
    body = raised_profile(loop, low, low + thickness);
    for (const Point &p : points_of(f.loop(0))) outer.push_back(raised(p, is_top ? height : 0));
    for (const Point &p : points_of(f.loop(1))) room.push_back(raised(p, 0));
    inner.clear();
    for (const Point &p : points_of(loop)) inner.push_back(raised(p, is_top ? height : 0));
  } else {
    const std::vector<Vector3> near = lid_ring(f, is_top, 0, -1), far = lid_ring(f, is_top, thickness, -1);
    body = is_top ? between(far, near) : between(near, far);
    outer = lid_ring(f, is_top, 0, 0);
    room = lid_ring(f, is_top, thickness, 1);
    inner = near;
  }
  // The origin is the lower left corner of the cabinet's face, seen from outside.
  Vector3 low = outer.front(), high = outer.front();
  for (const Vector3 &x : outer) {
    low = low.cwiseMin(x);
    high = high.cwiseMax(x);
  }
  board.origin = Vector3(is_top ? low.x() : high.x(), low.y(), is_top ? height - thickness : thickness);
  board.outline = in_board(board, inner);
  std::vector<Point> clear = in_board(board, room);
  if (!is_top) {  // seen from below they run the other way
    std::reverse(board.outline.begin(), board.outline.end());
    std::reverse(clear.begin(), clear.end());
  }
  body.board = int(c.boards.size());
  c.solids.bodies.push_back(body);
  c.boards.push_back(board);
  c.clear.push_back(clear);
}

}  // namespace

std::optional<SolidBody> room_within(const Shape &shape, const std::vector<double> &rims, int axis, double low,
                                     double high) {
  const Frame f(shape);
  const double beyond = 1e-3;  // so that an opening goes through both faces of its brace
  const double from = axis == 2 ? low - beyond : shape.bottom_thickness + rims[shape.walls.size() + 1],
               to = axis == 2 ? high + beyond : shape.height - shape.top_thickness - rims[shape.walls.size()];
  const auto depth = [&](int i) { return f.wall(i).thickness + f.rim_of(rims, i); };
  if (to - from < least_edge) return std::nullopt;
  for (int i = 0; i < f.count; ++i)
    if (!f.runs_on(i, from, depth) || !f.runs_on(i, to, depth)) return std::nullopt;
  return room_between(f, rims, from, to);
}

SolidBody room_of(const Shape &shape) {
  return room_between(Frame(shape), {}, shape.bottom_thickness, shape.height - shape.top_thickness);
}

std::optional<ShapeError> shape_error(const Shape &shape) {
  const Frame f(shape);
  double area = 0;
  for (int i = 0; i < f.count; ++i) {
    const Point a = f.wall(i).corner, b = f.wall(i + 1).corner;
    area += (a.x() * b.y() - a.y() * b.x()) / 2;
    const double side = (b - a).norm(), radius = std::abs(f.wall(i).radius);
    if (side < least_edge) return ShapeError{f.wall(i).name, "has no length", "give each corner a place of its own"};
    if (radius > 0 && radius < side / 2 * 1.001)
      return ShapeError{f.wall(i).name, "spans " + std::to_string(int(std::lround(1e3 * side))) + " mm",
                        "an arc of less than half a turn needs a radius of more than half of that; divide the wall"};
    if (radius > 0 && f.wall(i).radius > 0 && radius <= f.wall(i).thickness + least_edge)
      return ShapeError{f.wall(i).name, "is thicker than it is round", "use a larger radius or a thinner board"};
  }
  const auto cross = [](const Point &a, const Point &b) { return a.x() * b.y() - a.y() * b.x(); };
  for (int i = 0; i < f.count; ++i)
    for (int j = i + 2; j < f.count; ++j) {
      if (i == 0 && j == f.count - 1) continue;
      const Point a = f.wall(i).corner, b = f.wall(i + 1).corner, c = f.wall(j).corner, d = f.wall(j + 1).corner;
      if (cross(b - a, c - a) * cross(b - a, d - a) <= 0 && cross(d - c, a - c) * cross(d - c, b - c) <= 0)
        return ShapeError{f.wall(j).name, "crosses \"" + f.wall(i).name + "\"",
                          "list the corners in their order around the cabinet"};
    }
  if (area <= 0)
    return ShapeError{"", "the corners run clockwise", "list them anticlockwise as seen from above, front left first"};
  for (int i = 0; i < f.count; ++i) {
    Point a, b;
    f.distance(i - 1, f.wall(i).corner, a);
    f.distance(i, f.wall(i).corner, b);
    const double turn = a.x() * b.y() - a.y() * b.x();
    if (std::abs(turn) < 1e-3 &&
        (a.dot(b) < 0 || !f.any_bent() || std::abs(f.wall(i - 1).thickness - f.wall(i).thickness) > 1e-6))
      return ShapeError{f.wall(i).name, "runs straight on from \"" + f.wall(i - 1).name + "\"",
                        f.any_bent() ? "such walls need one thickness" : "leave the corner between them out"};
    if (turn < -1e-3 && !f.any_bent() && !shape.mitred)
      return ShapeError{f.wall(i).name, "makes an inward corner with \"" + f.wall(i - 1).name + "\"",
                        "use corners = \"mitre\""};
  }
  // What is left inside: every inner edge must still run forwards, at the bottom and at the top.
  const double low = shape.bottom_thickness, high = shape.height - shape.top_thickness;
  if (high - low < 5e-3)
    return ShapeError{"", "top and bottom leave no room", "use thinner boards or a higher cabinet"};
  for (const double z : {0.0, shape.height, low, high})
    for (int i = 0; i < f.count; ++i) {
      const bool is_inside = f.any_bent() || z == low || z == high;
      if (!f.runs_on(i, z, [&](int k) { return is_inside ? f.wall(k).thickness : 0; }))
        return ShapeError{f.wall(i).name, "has no width left at some height or inside",
                          "use thinner boards, a smaller slope or other corners"};
    }
  return std::nullopt;
}

ShapedCabinet make_shaped_cabinet(const Shape &shape) {
  const Frame f(shape);
  ShapedCabinet c;
  f.any_bent() ? add_profile_walls(f, c) : add_flat_walls(f, c);
  add_lid(f, true, c);
  add_lid(f, false, c);
  c.solids.rooms.push_back(room_of(shape));
  c.solids.outside = f.any_bent() ? raised_profile(f.loop(0), 0, shape.height)
                                  : between(lid_ring(f, false, 0, 0), lid_ring(f, true, 0, 0));
  const SolidBody &room = c.solids.rooms.front();
  c.room_points = room.corners;
  for (const ProfileLoop &loop : room.profile)
    for (const Point &p : points_of(loop))
      for (const double z : {room.origin.z(), room.origin.z() + room.height}) c.room_points.push_back(raised(p, z));
  return c;
}

}  // namespace stillbox
