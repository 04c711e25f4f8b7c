// SPDX-License-Identifier: MIT
#include "mesh/solid_clearance.h"

#include <algorithm>
#include <cmath>

#include "mesh/solids.h"
#include "mesh/step_file.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;

// Distance within the plane of `normal` from x to a convex body with flat faces.
double distance_to(const SolidBody &body, const Vector3 &x, const Vector3 &normal) {
  Vector3 middle = Vector3::Zero();
  for (const Vector3 &corner : body.corners) middle += corner / double(body.corners.size());
  double most = -1e300;
  for (const std::vector<int> &face : body.faces) {
    const Vector3 a = body.corners[std::size_t(face[0])], b = body.corners[std::size_t(face[1])],
                  c = body.corners[std::size_t(face[2])];
    Vector3 out = (b - a).cross(c - a).normalized();
    if (out.dot(middle - a) > 0) out = -out;
    const double off = out.dot(x - a), slant = (out - out.dot(normal) * normal).norm();
    if (slant > 1e-6)
      most = std::max(most, off / slant);
    else if (off > 0)
      return 1e300;
  }
  return most;
}

// The part of a polygon where normal . p <= offset.
std::vector<Eigen::Vector2d> clipped(const std::vector<Eigen::Vector2d> &polygon, const Eigen::Vector2d &normal,
                                     double offset) {
  std::vector<Eigen::Vector2d> out;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Eigen::Vector2d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
    const double da = normal.dot(a) - offset, db = normal.dot(b) - offset;
    if (da <= 0) out.push_back(a);
    if ((da < 0 && db > 0) || (da > 0 && db < 0)) out.push_back(a + da / (da - db) * (b - a));
  }
  return out;
}

double area_of(const std::vector<Eigen::Vector2d> &polygon) {
  double twice = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Eigen::Vector2d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
    twice += a.x() * b.y() - b.x() * a.y();
  }
  return std::abs(twice) / 2;
}

}  // namespace

double chamfer_clearance(const Structure &s, int board, const Eigen::Vector2d &uv) {
  double least = 1e300;
  const Board &own = s.boards[std::size_t(board)];
  if (!s.solids || own.role != BoardRole::wall) return least;
  const Vector3 x = own.at(uv.x(), uv.y(), own.thickness()), normal = own.axes_at(x).col(2);
  for (const SolidBody &body : s.solids->cuts) least = std::min(least, distance_to(body, x, normal));
  return least;
}

std::vector<Eigen::Vector2d> outer_face_outline(const Structure &s, int board) {
  const Board &own = s.boards[std::size_t(board)];
  if (!s.solids || !s.solids->step_file.empty() || own.bend) return {};
  std::vector<Eigen::Vector2d> outline = own.outline;
  constexpr int around = 96;
  if (own.disc_radius > 0)
    for (int k = 0; k < around; ++k)
      outline.emplace_back(own.disc_radius *
                           Eigen::Vector2d(std::cos(2 * M_PI * k / around), std::sin(2 * M_PI * k / around)));
  if (own.role == BoardRole::wall)
    for (const auto &[point, normal] : s.solids->outer_planes) {
      const Eigen::Vector2d across(normal.dot(own.u), normal.dot(own.v));
      const double offset = normal.dot(point - own.at(0, 0, own.thickness()));
      if (across.norm() < 1e-6) continue;
      // A chamfer takes a strip or a corner; a plane that takes more belongs to another part of the cabinet.
      const std::vector<Eigen::Vector2d> rest = clipped(outline, across, offset);
      if (area_of(rest) > area_of(outline) / 2) outline = rest;
    }
  const auto [low, high] = outline_bounds(own);
  if (area_of(outline) > (1 - 1e-9) * (high - low).prod()) return {};
  return outline;
}

bool is_wood_of_step(const Structure &s, int board, const Eigen::Vector2d &uv, double radius) {
  const Board &own = s.boards[std::size_t(board)];
  const std::vector<int> &boards = s.solids->step_board;
  const auto solid = std::find(boards.begin(), boards.end(), board);
  if (solid == boards.end()) return false;
  const StepShapes shapes = load_step_shapes(s.solids->step_file);
  constexpr double under = 2e-5;
  std::vector<Vector3> places{own.at(uv.x(), uv.y(), own.thickness() - under)};
  for (int k = 0; k < 8; ++k) {
    const double angle = 2 * M_PI * k / 8;
    places.push_back(
        own.at(uv.x() + radius * std::cos(angle), uv.y() + radius * std::sin(angle), own.thickness() - under));
  }
  return shapes.holds(std::size_t(solid - boards.begin()), places);
}

}  // namespace stillbox
