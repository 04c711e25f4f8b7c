// SPDX-License-Identifier: MIT
#include "mesh/structure.h"

#include <cmath>

namespace stillbox {

double Board::thickness() const {
  double sum = 0;
  for (const Layer &layer : layers) sum += layer.thickness;
  return sum;
}

Eigen::Vector3d Board::at(double a, double b, double n) const {
  if (!bend) return origin + a * u + b * v + n * normal();
  const double angle = a / bend->radius, t = thickness();
  const Eigen::Vector3d away = bend->hollow ? Eigen::Vector3d(-std::cos(angle) * normal() + std::sin(angle) * u)
                                            : Eigen::Vector3d(std::cos(angle) * normal() + std::sin(angle) * u);
  return bend->centre + b * v + (bend->hollow ? bend->radius + t - n : bend->radius - t + n) * away;
}

Eigen::Vector3d Board::coordinates_of(const Eigen::Vector3d &x) const {
  if (!bend) {
    const Eigen::Vector3d r = x - origin;
    return {r.dot(u), r.dot(v), r.dot(normal())};
  }
  const Eigen::Vector3d r = x - bend->centre;
  const double c = (bend->hollow ? -1 : 1) * r.dot(normal()), s = r.dot(u), out = std::hypot(c, s);
  const double half_turn = M_PI * bend->radius;
  double a = std::atan2(s, c) * bend->radius;
  const auto [low, high] = outline_bounds(*this);
  const double middle = (low.x() + high.x()) / 2;
  while (a < middle - half_turn) a += 2 * half_turn;
  while (a > middle + half_turn) a -= 2 * half_turn;
  return {a, r.dot(v), bend->hollow ? bend->radius + thickness() - out : out - bend->radius + thickness()};
}

Eigen::Matrix3d Board::axes_at(const Eigen::Vector3d &x) const {
  Eigen::Matrix3d axes;
  axes << u, v, normal();
  if (!bend) return axes;
  const double angle = coordinates_of(x).x() / bend->radius * (bend->hollow ? -1 : 1);
  axes.col(0) = std::cos(angle) * u - std::sin(angle) * normal();
  axes.col(2) = std::cos(angle) * normal() + std::sin(angle) * u;
  return axes;
}

double outline_area(const Board &board) {
  if (board.disc_radius > 0) return M_PI * board.disc_radius * board.disc_radius;
  double twice = 0;
  for (std::size_t i = 0; i < board.outline.size(); ++i) {
    const Eigen::Vector2d &a = board.outline[i];
    const Eigen::Vector2d &b = board.outline[(i + 1) % board.outline.size()];
    twice += a.x() * b.y() - b.x() * a.y();
  }
  return twice / 2;
}

double cut_out_area(const CutOut &c) {
  switch (c.shape) {
    case CutOutShape::round:
      return M_PI * c.width * c.width / 4;
    case CutOutShape::rectangle:
      return c.width * c.height;
    case CutOutShape::slot: {
      const double across = std::min(c.width, c.height), along = std::max(c.width, c.height);
      return across * (along - across) + M_PI * across * across / 4;
    }
  }
  return 0;
}

std::pair<Eigen::Vector2d, Eigen::Vector2d> outline_bounds(const Board &board) {
  if (board.disc_radius > 0) {
    const Eigen::Vector2d r(board.disc_radius, board.disc_radius);
    return {-r, r};
  }
  Eigen::Vector2d low = board.outline.front(), high = board.outline.front();
  for (const Eigen::Vector2d &p : board.outline) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  return {low, high};
}

bool is_in_outline(const Board &board, const Eigen::Vector2d &p) {
  if (board.disc_radius > 0) return p.norm() <= board.disc_radius;
  bool inside = false;
  for (std::size_t i = 0, j = board.outline.size() - 1; i < board.outline.size(); j = i++) {
    const Eigen::Vector2d &a = board.outline[i], &b = board.outline[j];
    if ((a.y() > p.y()) != (b.y() > p.y()) && p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside;
}

std::pair<Eigen::Vector2d, Eigen::Vector2d> clear_inner_face(const CabinetFrame &cabinet, const Board &wall) {
  const Eigen::Vector3d p = cabinet.inner_low - wall.origin, q = cabinet.inner_high - wall.origin;
  const Eigen::Vector2d first(p.dot(wall.u), p.dot(wall.v)), second(q.dot(wall.u), q.dot(wall.v));
  return {first.cwiseMin(second), first.cwiseMax(second)};
}

std::array<std::string, 2> face_words(const Board &board) {
  if (board.role == BoardRole::wall) return {"inner", "outer"};
  if (board.role == BoardRole::free) return {"low", "high"};
  int axis = 0;
  board.normal().cwiseAbs().maxCoeff(&axis);
  if (axis == 0) return {"left", "right"};
  return axis == 1 ? std::array<std::string, 2>{"front", "rear"} : std::array<std::string, 2>{"lower", "upper"};
}

std::pair<Eigen::Vector3d, Eigen::Vector3d> world_bounds(const Board &board) {
  const auto [low, high] = outline_bounds(board);
  const Eigen::Vector3d a = board.at(low.x(), low.y(), 0), b = board.at(high.x(), high.y(), board.thickness());
  return {a.cwiseMin(b), a.cwiseMax(b)};
}

bool is_axis_aligned_box(const Board &board) {
  if (board.bend || board.disc_radius > 0 || board.outline.size() != 4) return false;
  for (const Eigen::Vector3d *axis : {&board.u, &board.v})
    if (std::abs(axis->cwiseAbs().maxCoeff() - 1) > 1e-12) return false;
  const auto [low, high] = outline_bounds(board);
  const Eigen::Vector2d extent = high - low;
  return std::abs(outline_area(board) - extent.x() * extent.y()) < 1e-9 * extent.x() * extent.y();
}

Board make_rectangle(const std::string &name, const Eigen::Vector3d &origin, const Eigen::Vector3d &u,
                     const Eigen::Vector3d &v, double size_u, double size_v, double thickness, int material) {
  Board board;
  board.name = name;
  board.origin = origin;
  board.u = u;
  board.v = v;
  board.outline = {{0, 0}, {size_u, 0}, {size_u, size_v}, {0, size_v}};
  board.layers = {{material, thickness, 0}};
  return board;
}

}  // namespace stillbox
