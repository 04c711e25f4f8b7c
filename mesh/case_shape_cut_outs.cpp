// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <limits>

#include "mesh/case_solids.h"
#include "mesh/shape_boards.h"
#include "mesh/shape_parts.h"

// What cut-outs in a [shape] must stay clear of, besides the edge of their board and each other: the walls there lean
// and bend, and a window's opening is no cut-out of its board.

namespace stillbox {
namespace {

constexpr double touch = 1e-6;  // m

/// Places along the rim of a cut-out, in its board's plane: corners of a rectangle, and so many along arcs that
/// what lies between two of them reaches at most 1e-4 of the radius farther.
std::vector<Eigen::Vector2d> rim_of(const CutOut &c) {
  const Eigen::Vector2d half(c.width / 2, c.height / 2);
  const double radius = c.shape == CutOutShape::rectangle ? 0 : half.minCoeff();
  const Eigen::Vector2d core = half - Eigen::Vector2d(radius, radius);  // the rest of a slot: where its arcs turn
  constexpr int steps = 60;                                             // in each quarter
  std::vector<Eigen::Vector2d> places;
  for (int quarter = 0; quarter < 4; ++quarter) {
    const Eigen::Vector2d corner(quarter == 0 || quarter == 3 ? core.x() : -core.x(),
                                 quarter < 2 ? core.y() : -core.y());
    for (int i = 0; i <= (radius > 0 ? steps : 0); ++i) {
      const double angle = (quarter + double(i) / steps) * M_PI / 2;
      places.push_back(c.centre + corner + radius * Eigen::Vector2d(std::cos(angle), std::sin(angle)));
    }
  }
  return places;
}

/// Wood between a cut-out of a flat wall and a brace, measured along the wall's inner face, m; 0 or less when the brace
/// ends in the cut-out.
double wood_to_brace(const Board &wall, const CutOut &c, const Board &brace) {
  const Eigen::Vector3d normal = brace.normal();
  const double low = normal.dot(brace.origin), high = low + brace.thickness();
  double least = std::numeric_limits<double>::max(), most = -least;
  for (const Eigen::Vector2d &p : rim_of(c)) {
    const double at = normal.dot(wall.at(p.x(), p.y(), 0));
    least = std::min(least, at);
    most = std::max(most, at);
  }
  const double gap = std::max(low - most, least - high);
  const double slant = std::hypot(normal.dot(wall.u), normal.dot(wall.v));
  if (slant < 1e-9) return gap > touch ? std::numeric_limits<double>::max() : 0;  // the brace lies along the wall
  return gap / slant;
}

/// Walls that all of the room lies behind; beside the others, at an inward corner, it goes on.
bool bounds_room(const Board &wall, const ShapedCabinet &cabinet) {
  return std::all_of(cabinet.room_points.begin(), cabinet.room_points.end(),
                     [&](const Eigen::Vector3d &x) { return wall.coordinates_of(x).z() < touch; });
}

/// The rim and the middle of a brace's cut-out on either face of the brace.
std::vector<Eigen::Vector3d> places_through(const Board &brace, const CutOut &c) {
  std::vector<Eigen::Vector2d> flat = rim_of(c);
  flat.push_back(c.centre);
  std::vector<Eigen::Vector3d> places;
  for (const double n : {0.0, brace.thickness()})
    for (const Eigen::Vector2d &p : flat) places.push_back(brace.at(p.x(), p.y(), n));
  return places;
}

/// Wood between a brace's cut-out and a wall's inner face, square to that face, m.
double wood_to_wall(const Board &brace, const CutOut &c, const Board &wall) {
  double least = std::numeric_limits<double>::max();
  for (const Eigen::Vector3d &x : places_through(brace, c)) least = std::min(least, -wall.coordinates_of(x).z());
  return least;
}

/// The room seen from above at a height.
std::vector<Eigen::Vector2d> plan_at(const SolidBody &room, double z) {
  if (!room.profile.empty()) return points_of(room.profile.front());
  const std::size_t count = room.corners.size() / 2;
  const double low = room.corners.front().z(), high = room.corners.back().z();
  const double part = std::clamp((z - low) / (high - low), 0.0, 1.0);
  std::vector<Eigen::Vector2d> plan;
  for (std::size_t i = 0; i < count; ++i)
    plan.emplace_back(((1 - part) * room.corners[i] + part * room.corners[count + i]).head<2>());
  return plan;
}

/// Wood between a brace's cut-out and the nearest wall seen from above, m, below 0 outside the room; `near` becomes
/// the place.
double wood_in_plan(const Board &brace, const CutOut &c, const SolidBody &room, Eigen::Vector3d &near) {
  double least = std::numeric_limits<double>::max();
  Board plan;
  CutOut place;
  for (const Eigen::Vector3d &x : places_through(brace, c)) {
    plan.outline = plan_at(room, x.z());
    place.centre = x.head<2>();
    const double wood = wood_to_rim(plan, place);
    if (wood >= least) continue;
    least = wood;
    near = x;
  }
  return least;
}

/// Wood between a cut-out and the opening of its window brace: a place on the rim is off the opening by as much as the
/// nearest wall is nearer than its rim is wide.
double wood_to_opening(const Board &brace, const CutOut &c, const ShapedCabinet &cabinet,
                       const std::vector<double> &rims) {
  double least = std::numeric_limits<double>::max();
  for (const Eigen::Vector3d &x : places_through(brace, c)) {
    double off = -std::numeric_limits<double>::max();
    for (std::size_t i = 0; i < rims.size(); ++i)
      if (rims[i] > 0) off = std::max(off, rims[i] + cabinet.boards[i].coordinates_of(x).z());
    least = std::min(least, off);
  }
  return least;
}

/// False after reporting what a wall's cut-out is too close to.
bool is_wall_cut_out_clear(Build &b, const ShapedCabinet &cabinet, const CutOutInfo &info, double least) {
  const Board &wall = b.structure.boards[std::size_t(info.board)];
  const CutOut &c = wall.cut_outs[std::size_t(info.index)];
  if (wall.bend) {
    b.problems().add(info.place, "\"" + c.name + "\"", "flat walls and braces",
                     "cut-outs of bent walls are not computed; move it to a flat wall");
    return false;
  }
  for (const Board &brace : b.structure.boards) {
    if (brace.role != BoardRole::brace || is_axis_aligned_box(wall)) continue;  // boxes: by check_cut_outs
    const double wood = wood_to_brace(wall, c, brace);
    if (wood >= least) continue;
    refuse_web(b, info, wood, "the board \"" + brace.name + "\"");
    return false;
  }
  if (cabinet.clear[std::size_t(info.board)].empty()) return true;
  Board room = wall;
  room.outline = cabinet.clear[std::size_t(info.board)];
  if (wood_to_rim(room, c) >= -1e-7) return true;
  b.problems().add(info.place, "\"" + c.name + "\"", "within the clear inner face of \"" + wall.name + "\"",
                   "it opens onto the end of a neighbouring wall; move it or make it smaller");
  return false;
}

/// The same for a brace's cut-out.
bool is_brace_cut_out_clear(Build &b, const ShapedCabinet &cabinet, const CutOutInfo &info, double least) {
  const Board &brace = b.structure.boards[std::size_t(info.board)];
  const CutOut &c = brace.cut_outs[std::size_t(info.index)];
  std::vector<const Board *> past;  // walls that the room goes on past
  for (const Board &wall : cabinet.boards) {
    if (!bounds_room(wall, cabinet)) {
      past.push_back(&wall);
      continue;
    }
    const double wood = wood_to_wall(brace, c, wall);
    if (wood >= least) continue;
    refuse_web(b, info, wood, "the board \"" + wall.name + "\"");
    return false;
  }
  if (!past.empty()) {
    Eigen::Vector3d near;
    const double wood = wood_in_plan(brace, c, cabinet.solids.rooms.front(), near);
    const auto height = [&](const Board *wall) { return std::abs(wall->coordinates_of(near).z()); };
    const auto lower = [&](const Board *wall, const Board *other) { return height(wall) < height(other); };
    if (wood < least) {
      refuse_web(b, info, wood, "the board \"" + (*std::min_element(past.begin(), past.end(), lower))->name + "\"");
      return false;
    }
  }
  for (const BoxForm::Window &window : cabinet.windows) {
    if (window.board != info.board) continue;
    const double wood = wood_to_opening(brace, c, cabinet, window.rims);
    if (wood >= least) continue;
    refuse_web(b, info, wood, "the opening of \"" + brace.name + "\"");
    return false;
  }
  return true;
}

}  // namespace

void check_shape_cut_outs(Build &b, const ShapedCabinet &cabinet) {
  const double least = b.minimum_web - 1e-7;
  for (const CutOutInfo &info : b.cut_outs) {
    const bool is_of_wall = std::size_t(info.board) < cabinet.boards.size();
    const bool is_clear =
        is_of_wall ? is_wall_cut_out_clear(b, cabinet, info, least) : is_brace_cut_out_clear(b, cabinet, info, least);
    if (!is_clear) b.values_ok = false;
  }
}

}  // namespace stillbox
