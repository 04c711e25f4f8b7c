// SPDX-License-Identifier: MIT
#include "solver/knock_points.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/case_file.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "mesh/outline_loops.h"
#include "mesh/solid_clearance.h"
#include "mesh/solids.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

constexpr double closest = 0.001;  // m between points, at which knock_grid gives up

// Signed distance of d (from the middle) to a rectangle: negative inside.
double outside_rectangle(const Eigen::Vector2d &d, double half_u, double half_v) {
  const Eigen::Vector2d q = d.cwiseAbs() - Eigen::Vector2d(half_u, half_v);
  return q.cwiseMax(0).norm() + std::min(0.0, q.maxCoeff());
}

double outside_cut_out(const CutOut &c, const Eigen::Vector2d &p) {
  const Eigen::Vector2d d = p - c.centre;
  const double half_u = c.width / 2, half_v = c.height / 2, r = std::min(half_u, half_v);
  switch (c.shape) {
    case CutOutShape::round:
      return d.norm() - half_u;
    case CutOutShape::rectangle:
      return outside_rectangle(d, half_u, half_v);
    case CutOutShape::slot:
      return outside_rectangle(d, half_u - r, half_v - r) - r;
  }
  return 0;
}

double inside_outline(const Board &board, const Eigen::Vector2d &p) {
  if (board.disc_radius > 0) return board.disc_radius - p.norm();
  double least = 1e300;
  for (std::size_t i = 0; i < board.outline.size(); ++i)
    least = std::min(least, segment_distance(p, board.outline[i], board.outline[(i + 1) % board.outline.size()]));
  return is_in_outline(board, p) ? least : -least;
}

KnockPoint point_at(const Structure &s, int b, const Eigen::Vector2d &uv) {
  const Board &board = s.boards[b];
  KnockPoint point;
  point.face = b;  // ModalResult::faces has one entry per board, in the same order
  point.place = uv - outline_bounds(board).first;
  point.at = board.at(uv.x(), uv.y(), board.thickness());
  point.normal = board.axes_at(point.at).col(2);
  return point;
}

std::vector<KnockPoint> grid_of(const Structure &s, double pitch) {
  std::vector<KnockPoint> points;
  for (int b : knock_boards(s)) {
    const auto [low, high] = outline_bounds(s.boards[b]);
    const Eigen::Vector2d size = high - low;
    const int nu = std::max(1, int(std::lround(size.x() / pitch))),
              nv = std::max(1, int(std::lround(size.y() / pitch)));
    for (int j = 0; j < nv; ++j)
      for (int i = 0; i < nu; ++i) {
        const Eigen::Vector2d uv = low + Eigen::Vector2d(size.x() * (i + 0.5) / nu, size.y() * (j + 0.5) / nv);
        if (wood_clearance(s, b, uv) >= knock_patch_radius) points.push_back(point_at(s, b, uv));
      }
  }
  return points;
}

std::string mm(const Eigen::Vector2d &p) {
  return fmt::format("{}, {} mm", number_text(1e3 * p.x()), number_text(1e3 * p.y()));
}

std::string trimmed(const std::string &text) {
  const std::size_t first = text.find_first_not_of(" \t"), last = text.find_last_not_of(" \t");
  return first == std::string::npos ? "" : text.substr(first, last - first + 1);
}

}  // namespace

std::vector<int> knock_boards(const Structure &s) { return outside_boards(s); }

double wood_clearance(const Structure &s, int b, const Eigen::Vector2d &uv) {
  const Board &board = s.boards[b];
  double clear = inside_outline(board, uv);
  for (const CutOut &c : board.cut_outs) clear = std::min(clear, outside_cut_out(c, uv));
  if (s.solids) {
    clear = std::min(clear, chamfer_clearance(s, b, uv));
    if (!s.solids->step_file.empty() && clear > 0)
      clear = !is_wood_of_step(s, b, uv, 0)                    ? 0
              : !is_wood_of_step(s, b, uv, knock_patch_radius) ? std::min(clear, knock_patch_radius / 2)
                                                               : clear;
  }
  for (const Overlap &overlap : s.overlaps) {
    if (overlap.second != b || overlap.sharing != Sharing::first_owns) continue;
    // The part of this board's outer face that the other one takes.
    const auto [low, high] = world_bounds(s.boards[overlap.first]);
    const Eigen::Vector3d p = low - board.origin, q = high - board.origin, n = board.normal();
    const double just_under = board.thickness() * (1 - 1e-6);
    if (std::min(p.dot(n), q.dot(n)) > just_under || std::max(p.dot(n), q.dot(n)) < just_under) continue;
    const Eigen::Vector2d first(p.dot(board.u), p.dot(board.v)), second(q.dot(board.u), q.dot(board.v));
    const Eigen::Vector2d half = (first - second).cwiseAbs() / 2;
    clear = std::min(clear, outside_rectangle(uv - (first + second) / 2, half.x(), half.y()));
  }
  return clear;
}

std::vector<KnockPoint> knock_grid(const Structure &s, int least) {
  double area = 0;
  for (int b : knock_boards(s)) area += outline_area(s.boards[b]);
  std::vector<KnockPoint> points;
  for (double pitch = std::sqrt(area / std::max(1, least)); pitch > closest; pitch *= 0.98) {
    points = grid_of(s, pitch);
    if (int(points.size()) >= least) return points;
  }
  if (points.empty())
    throw CaseError(
        fmt::format("\"{}\": no wall has room for a knock: allowed are places {} mm and more from every "
                    "edge and cut-out",
                    s.variant_name, number_text(1e3 * knock_patch_radius)));
  return points;
}

KnockSpot read_knock_spot(const std::string &text) {
  const auto refuse = [&](const std::string &why) {
    return CaseError(
        fmt::format("--at \"{}\": {}; give a wall and two lengths in mm from the low corner of its "
                    "outline, such as --at \"left, 120, 80\"",
                    text, why));
  };
  const std::size_t second = text.rfind(',');
  const std::size_t first =
      second == std::string::npos || second == 0 ? std::string::npos : text.rfind(',', second - 1);
  if (first == std::string::npos) throw refuse("not a wall and two lengths parted by commas");
  KnockSpot spot;
  spot.text = text;
  spot.wall = trimmed(text.substr(0, first));
  if (spot.wall.empty()) throw refuse("the wall's name is missing");
  const std::string words[2] = {trimmed(text.substr(first + 1, second - first - 1)), trimmed(text.substr(second + 1))};
  for (int i = 0; i < 2; ++i) {
    auto length = parse_length(words[i]);
    if (!length) length = parse_length(words[i] + " mm");
    if (!length) throw refuse(fmt::format("\"{}\" is not a length", words[i]));
    spot.place[i] = *length;
  }
  return spot;
}

KnockPoint knock_point(const Structure &s, const KnockSpot &spot) {
  std::vector<std::string> names;
  for (int b : knock_boards(s)) {
    const Board &board = s.boards[b];
    names.push_back(board.name);
    if (board.name != spot.wall) continue;
    const auto [low, high] = outline_bounds(board);
    const Eigen::Vector2d uv = low + spot.place;
    const double clear = wood_clearance(s, b, uv);
    if (clear >= knock_patch_radius - 1e-9) return point_at(s, b, uv);
    std::string why = "lies off the wall";
    if (inside_outline(board, uv) >= 0) {
      why = fmt::format("is {} mm from an edge or a cut-out", number_text(std::round(1e5 * clear) / 100));
      for (const CutOut &c : board.cut_outs)
        if (outside_cut_out(c, uv) < 0) why = "lies on the cut-out \"" + c.name + "\"";
    }
    const Eigen::Vector2d margin = Eigen::Vector2d::Constant(knock_patch_radius);
    throw CaseError(
        fmt::format("--at \"{}\": {} of \"{}\" in \"{}\" {}; allowed: between {} and {}, {} mm and more "
                    "from cut-outs; move the point",
                    spot.text, mm(spot.place), board.name, s.variant_name, why, mm(margin), mm(high - low - margin),
                    number_text(1e3 * knock_patch_radius)));
  }
  const std::string near = suggestion(spot.wall, names);
  throw CaseError(fmt::format("--at \"{}\": \"{}\" has no wall \"{}\"{}; allowed: {}", spot.text, s.variant_name,
                              spot.wall, near.empty() ? "" : ": " + near, joined(names, 40)));
}

}  // namespace stillbox
