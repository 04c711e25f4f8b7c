// SPDX-License-Identifier: MIT
#include "mesh/shape_parts.h"
#include "mesh/solid_model.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;
using Point = Eigen::Vector2d;

// The frame of a tube: its axis, and the direction of its seam.
struct TubeFrame {
  Vector3 axis, seam, centre;
  explicit TubeFrame(const Tube &t) : axis(Vector3::Unit(t.axis)) {
    seam = t.axis == 2 ? Vector3(Vector3::UnitY()) : Vector3(-Vector3::UnitZ());
    centre = t.diameter / 2 * (Vector3::Ones() - axis);
  }
  SolidBody body(const std::vector<ProfileLoop> &loops, double low, double high) const {
    SolidBody b;
    b.profile = loops;
    b.origin = centre + low * axis;
    b.u = seam;
    b.v = axis.cross(seam);
    b.height = high - low;
    return b;
  }
};

}  // namespace

std::optional<SolidBody> room_within(const Tube &t, const std::vector<double> &rims) {
  constexpr double least = 1e-3;
  const double radius = t.diameter / 2 - t.wall - rims[0];
  const double low = t.low_thickness + rims[1], high = t.length - t.high_thickness - rims[2];
  if (radius < least || high - low < least) return std::nullopt;
  return TubeFrame(t).body({circle_loop({0, 0}, radius)}, low, high);
}

SolidBody room_of(const Tube &t) { return *room_within(t, {0, 0, 0}); }

ShapedCabinet make_tube_cabinet(const Tube &t, const std::array<std::string, 2> &end_names) {
  const TubeFrame f(t);
  const double outer = t.diameter / 2, inner = outer - t.wall;
  const double low = t.inset ? 0 : t.low_thickness, high = t.length - (t.inset ? 0 : t.high_thickness);
  ShapedCabinet c;
  Board mantle = wall_board("tube", t.wall);
  mantle.v = f.axis;
  mantle.u = f.axis.cross(f.seam);
  mantle.origin = f.centre + inner * f.seam;
  mantle.bend = Bend{f.centre, outer, false};
  const double round = 2 * M_PI * outer;
  mantle.outline = {{0, low}, {round, low}, {round, high}, {0, high}};
  SolidBody body = f.body({circle_loop({0, 0}, outer), circle_loop({0, 0}, inner)}, low, high);
  body.board = 0;
  c.solids.bodies.push_back(body);
  c.boards.push_back(mantle);
  c.clear.emplace_back();
  for (int side = 0; side < 2; ++side) {
    const double thickness = side == 0 ? t.low_thickness : t.high_thickness;
    Board lid = wall_board(end_names[std::size_t(side)], thickness);
    const Vector3 normal = side == 0 ? Vector3(-f.axis) : f.axis;
    // Upwards is up where there is an up, else backwards.
    lid.v = t.axis == 2 ? Vector3(Vector3::UnitY()) : Vector3(Vector3::UnitZ());
    lid.u = lid.v.cross(normal);
    lid.disc_radius = t.inset ? inner : outer;
    const double start = side == 0 ? 0 : t.length - thickness;
    lid.origin = f.centre + (side == 0 ? thickness : t.length - thickness) * f.axis;
    SolidBody disc = f.body({circle_loop({0, 0}, lid.disc_radius)}, start, start + thickness);
    disc.board = side + 1;
    c.solids.bodies.push_back(disc);
    c.boards.push_back(lid);
    c.clear.emplace_back();
  }
  c.solids.rooms.push_back(room_of(t));
  c.solids.outside = f.body({circle_loop({0, 0}, outer)}, 0, t.length);
  const SolidBody &room = c.solids.rooms.front();
  for (const Point &p : points_of(room.profile.front()))
    for (const double h : {0.0, room.height})
      c.room_points.push_back(room.origin + p.x() * room.u + p.y() * room.v + h * f.axis);
  return c;
}

}  // namespace stillbox
