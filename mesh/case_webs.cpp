// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <limits>

#include "mesh/case_build.h"
#include "mesh/length.h"

// How much wood is left around a cut-out. Every shape is a core (a point, a segment or a rectangle's rim) with a radius
// around it, so that one distance between segments serves for all pairs.

namespace stillbox {
namespace {

using Point = Eigen::Vector2d;
using Segment = std::pair<Point, Point>;

struct Shape {
  std::vector<Segment> core;
  double radius = 0;
  bool is_filled = false;  ///< a rectangle: its inside belongs to it
  Point low{0, 0}, high{0, 0};
};

std::vector<Segment> rim_of(const std::vector<Point> &corners) {
  std::vector<Segment> rim;
  for (std::size_t i = 0; i < corners.size(); ++i) rim.emplace_back(corners[i], corners[(i + 1) % corners.size()]);
  return rim;
}

Shape rectangle(const Point &low, const Point &high) {
  return {rim_of({low, {high.x(), low.y()}, high, {low.x(), high.y()}}), 0, true, low, high};
}

Shape shape_of(const CutOut &c) {
  const Point half(c.width / 2, c.height / 2), low = c.centre - half, high = c.centre + half;
  if (c.shape == CutOutShape::rectangle) return rectangle(low, high);
  const double radius = half.minCoeff();
  const Point reach = half - Point(radius, radius);
  return {{{c.centre - reach, c.centre + reach}}, radius, false, low, high};
}

double point_to_segment(const Point &p, const Segment &s) {
  const Point along = s.second - s.first;
  const double length2 = along.squaredNorm();
  const double t = length2 > 0 ? std::clamp((p - s.first).dot(along) / length2, 0.0, 1.0) : 0.0;
  return (p - s.first - t * along).norm();
}

double cross(const Point &a, const Point &b) { return a.x() * b.y() - a.y() * b.x(); }

double segment_distance(const Segment &s, const Segment &t) {
  const Point d = s.second - s.first, e = t.second - t.first;
  const double c1 = cross(d, t.first - s.first), c2 = cross(d, t.second - s.first);
  const double c3 = cross(e, s.first - t.first), c4 = cross(e, s.second - t.first);
  if (c1 * c2 < 0 && c3 * c4 < 0) return 0;
  return std::min({point_to_segment(s.first, t), point_to_segment(s.second, t), point_to_segment(t.first, s),
                   point_to_segment(t.second, s)});
}

bool contains(const Shape &shape, const Point &p) {
  return shape.is_filled && (p.array() >= shape.low.array()).all() && (p.array() <= shape.high.array()).all();
}

/// Wood between two shapes; 0 or less when they overlap.
double distance(const Shape &a, const Shape &b) {
  if (contains(a, b.core.front().first) || contains(b, a.core.front().first)) return 0;
  double least = std::numeric_limits<double>::max();
  for (const Segment &s : a.core)
    for (const Segment &t : b.core) least = std::min(least, segment_distance(s, t));
  return least - a.radius - b.radius;
}

bool is_inside_polygon(const std::vector<Point> &corners, const Point &p) {
  bool inside = false;
  for (std::size_t i = 0, j = corners.size() - 1; i < corners.size(); j = i++) {
    const Point &a = corners[i], &c = corners[j];
    if ((a.y() > p.y()) != (c.y() > p.y()) && p.x() < (c.x() - a.x()) * (p.y() - a.y()) / (c.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside;
}

/// Wood between a cut-out and the rim of its board; negative when it reaches over the rim.
double distance_to_rim(const Board &board, const CutOut &c) {
  const Shape shape = shape_of(c);
  if (board.disc_radius > 0) {
    double farthest = 0;
    for (const Segment &s : shape.core) farthest = std::max({farthest, s.first.norm(), s.second.norm()});
    return board.disc_radius - farthest - shape.radius;
  }
  const auto [low, high] = outline_bounds(board);
  if (is_axis_aligned_box(board) || board.outline.size() == 4) {
    const double inside = std::min((shape.low - low).minCoeff(), (high - shape.high).minCoeff());
    if (is_axis_aligned_box(board) || inside <= 0) return inside;
  }
  if (!is_inside_polygon(board.outline, c.centre)) return -1;
  double least = std::numeric_limits<double>::max();
  for (const Segment &s : shape.core)
    for (const Segment &t : rim_of(board.outline)) least = std::min(least, segment_distance(s, t));
  return least - shape.radius;
}

/// The rectangle in (u, v) where another board's box meets a board's faces or crosses it; false when it does not.
/// The sheet a wall carries is no obstacle: its cut-outs go through it.
bool footprint(const Structure &s, int index, int other_index, Point &low, Point &high) {
  const Board &board = s.boards[index], &other = s.boards[other_index];
  if (index == other_index || !is_axis_aligned_box(board) || !is_axis_aligned_box(other)) return false;
  if (other.attached_to == index || board.attached_to == other_index) return false;
  Eigen::Vector3d from, to;
  boxes_meet(board, other, 0, &from, &to);
  const Eigen::Vector3d extent = to - from;
  const double along_u = std::abs(extent.dot(board.u)), along_v = std::abs(extent.dot(board.v));
  if (extent.minCoeff() < -1e-6 || along_u < 1e-6 || along_v < 1e-6) return false;
  const Eigen::Vector3d a = from - board.origin, c = to - board.origin;
  low = {std::min(a.dot(board.u), c.dot(board.u)), std::min(a.dot(board.v), c.dot(board.v))};
  high = {std::max(a.dot(board.u), c.dot(board.u)), std::max(a.dot(board.v), c.dot(board.v))};
  return true;
}

std::string title(const Build &b, const CutOutInfo &info) {
  const CutOut &c = b.structure.boards[info.board].cut_outs[info.index];
  return (info.name.empty() ? c.name : "\"" + c.name + "\"");
}

}  // namespace

double wood_to_rim(const Board &board, const CutOut &c) { return distance_to_rim(board, c); }

void refuse_web(Build &b, const CutOutInfo &info, double web, const std::string &from) {
  const bool is_small = web > 1e-7;
  b.problems().add(info.place, title(b, info) + (is_small ? " with a web of " + length_text(web) : ""),
                   "at least " + length_text(b.minimum_web) + " of wood to " + from,
                   is_small ? "too close to " + from + "; move it or make it smaller (least web: mesh.minimum_web)"
                            : "overlaps or reaches beyond " + from + "; move it or make it smaller");
}

void check_cut_outs(Build &b) {
  for (std::size_t i = 0; i < b.cut_outs.size(); ++i) {
    const CutOutInfo &info = b.cut_outs[i];
    const Board &board = b.structure.boards[info.board];
    const CutOut &c = board.cut_outs[info.index];
    const double least = b.minimum_web - 1e-7, to_rim = distance_to_rim(board, c);
    if (to_rim < least) {
      refuse_web(b, info, to_rim, "the edge of \"" + board.name + "\"");
      continue;
    }
    for (std::size_t j = 0; j < i; ++j) {
      const CutOutInfo &other = b.cut_outs[j];
      if (other.board != info.board) continue;
      const double web = distance(shape_of(c), shape_of(board.cut_outs[other.index]));
      if (web < least) refuse_web(b, info, web, "the cut-out " + title(b, other));
    }
    if (c.opening) continue;
    for (std::size_t k = 0; k < b.structure.boards.size(); ++k) {
      Point low, high;
      if (!footprint(b.structure, info.board, int(k), low, high)) continue;
      const double web = distance(shape_of(c), rectangle(low, high));
      if (web < least) refuse_web(b, info, web, "the board \"" + b.structure.boards[k].name + "\"");
    }
  }
}

bool is_on_free_face(Build &b, const Reader &r, const std::string &key, const FacePoint &face, const Point &low,
                     const Point &high) {
  const Board &board = b.structure.boards[face.board];
  CutOut spot;
  spot.name = "spot";
  spot.shape = CutOutShape::rectangle;
  spot.centre = (low + high) / 2;
  spot.width = high.x() - low.x();
  spot.height = high.y() - low.y();
  const auto refuse = [&](const std::string &advice) {
    r.refuse(key, "a place on the free wood of \"" + board.name + "\"", advice);
    return false;
  };
  if (distance_to_rim(board, spot) < -1e-9) return refuse("lies outside the board; move it inside");
  std::vector<Shape> holes;
  const int carrier = board.role == BoardRole::sheet ? board.attached_to : face.board;
  for (const CutOut &c : board.cut_outs) holes.push_back(shape_of(c));
  if (carrier != face.board) {
    const Board &wall = b.structure.boards[carrier];
    const Point shift((wall.origin - board.origin).dot(board.u), (wall.origin - board.origin).dot(board.v));
    for (CutOut c : wall.cut_outs) {
      c.centre += shift;
      holes.push_back(shape_of(c));
    }
  }
  for (const Shape &hole : holes)
    if (distance(shape_of(spot), hole) < 1e-9) return refuse("lies over a cut-out; move it to the wood");
  const double plane = board.origin.dot(board.normal()) + (face.on_high_side ? board.thickness() : 0);
  const double beyond = plane + (face.on_high_side ? 1e-5 : -1e-5);
  for (std::size_t k = 0; k < b.structure.boards.size(); ++k) {
    const Board &other = b.structure.boards[k];
    Point from, to;
    if (!footprint(b.structure, face.board, int(k), from, to)) continue;
    const auto [other_low, other_high] = world_bounds(other);
    const double ends[2] = {other_low.dot(board.normal()), other_high.dot(board.normal())};
    if (beyond < std::min(ends[0], ends[1]) || beyond > std::max(ends[0], ends[1])) continue;
    if (distance(shape_of(spot), rectangle(from, to)) < 1e-9)
      return refuse("lies where \"" + other.name + "\" is glued on; move it to the free face");
  }
  return true;
}

}  // namespace stillbox
