// SPDX-License-Identifier: MIT
#include "solver/outside_mesh.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "mesh/solids.h"
#include "solver/outside_shape.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double third = 0.57735026918962576451;  // Gauss point of order 2 on -1 .. 1

std::vector<double> even_ticks(double length, int n) {
  std::vector<double> ticks(n + 1);
  for (int i = 0; i <= n; ++i) ticks[i] = length * i / n;
  return ticks;
}

int count_along(double length, double size, int least) {
  return std::max(least, int(std::ceil(length / size * (1 - 1e-9))));
}

std::array<int, 3> counts(const Eigen::Vector3d &outer, double size, int least) {
  return {count_along(outer[0], size, least), count_along(outer[1], size, least), count_along(outer[2], size, least)};
}

int elements_of(const std::array<int, 3> &n) { return 2 * (n[0] * n[1] + n[1] * n[2] + n[2] * n[0]); }

constexpr int least_along = 4;

double coarsest(const Eigen::Vector3d &outer, const OutsideAir &air, double up_to, double per_wave) {
  return std::min(air.speed / up_to / per_wave, outer.maxCoeff() / 6);
}

// Adds the grid of one face: corner + ticks along a and b, with a x b outwards; nodes on common edges are shared.
class Faces {
 public:
  explicit Faces(double length) : grain_(1e-7 * length) {}
  template <typename Place>
  void add(SurfaceMesh &mesh, int na, int nb, int wall, const Place &place) {
    std::vector<int> number((na + 1) * (nb + 1));
    for (int j = 0; j <= nb; ++j)
      for (int i = 0; i <= na; ++i) number[i + (na + 1) * j] = node(place(i, j));
    for (int j = 0; j < nb; ++j)
      for (int i = 0; i < na; ++i) {
        const int k = i + (na + 1) * j;
        mesh.elements.push_back({number[k], number[k + 1], number[k + na + 2], number[k + na + 1]});
        mesh.wall.push_back(wall);
        mesh.cut_out.push_back(-1);
      }
  }
  void finish(SurfaceMesh &mesh) const {
    mesh.nodes.resize(points_.size(), 3);
    for (std::size_t i = 0; i < points_.size(); ++i) mesh.nodes.row(i) = points_[i].transpose();
    set_geometry(mesh);
  }

 private:
  int node(const Eigen::Vector3d &p) {
    const std::array<long long, 3> key{std::llround(p.x() / grain_), std::llround(p.y() / grain_),
                                       std::llround(p.z() / grain_)};
    const auto [found, is_new] = numbers_.emplace(key, int(points_.size()));
    if (is_new) points_.push_back(p);
    return found->second;
  }
  double grain_;
  std::map<std::array<long long, 3>, int> numbers_;
  std::vector<Eigen::Vector3d> points_;
};

struct BoxFace {
  int wall, axis, a, b;  // a x b points outwards
  bool high;
};
constexpr BoxFace box_faces[6] = {{baffle, 1, 0, 2, false}, {back, 1, 2, 0, true}, {left, 0, 2, 1, false},
                                  {right, 0, 1, 2, true},   {top, 2, 0, 1, true},  {bottom, 2, 1, 0, false}};

// Part of lines v = const within the cut-out: the interval of u about its centre, empty when half < 0.
double half_width(const CutOut &c, double dv) {
  const double half_v = c.height / 2, half_u = c.width / 2;
  if (std::abs(dv) >= half_v) return -1;
  if (c.shape == CutOutShape::rectangle) return half_u;
  if (c.is_circle()) return std::sqrt(half_v * half_v - dv * dv);
  const double r = std::min(half_u, half_v);
  if (half_u > half_v) return half_u - r + std::sqrt(r * r - dv * dv);
  const double beyond = std::max(0.0, std::abs(dv) - (half_v - r));
  return std::sqrt(std::max(0.0, r * r - beyond * beyond));
}

bool lies_in(const CutOut &c, const Eigen::Vector2d &p) {
  return std::abs(p.x() - c.centre.x()) <= half_width(c, p.y() - c.centre.y());
}

Eigen::Vector2d board_place(const Board &board, const Eigen::Vector3d &at) {
  return {(at - board.origin).dot(board.u), (at - board.origin).dot(board.v)};
}

}  // namespace

SurfacePoint surface_point(const SurfaceMesh &m, int element, double p, double q) {
  const auto &e = m.elements[element];
  const Eigen::Vector3d a = m.nodes.row(e[0]), b = m.nodes.row(e[1]), c = m.nodes.row(e[2]), d = m.nodes.row(e[3]);
  const Eigen::Vector3d dp = (1 - q) * (b - a) + q * (c - d), dq = (1 - p) * (d - a) + p * (c - b);
  return {(1 - q) * ((1 - p) * a + p * b) + q * ((1 - p) * d + p * c), dp.cross(dq)};
}

void set_geometry(SurfaceMesh &m) {
  const int n = int(m.elements.size());
  m.centres.resize(n, 3);
  m.normals.resize(n, 3);
  m.areas.resize(n);
  m.sizes.resize(n);
  for (int i = 0; i < n; ++i) {
    const SurfacePoint middle = surface_point(m, i, 0.5, 0.5);
    m.centres.row(i) = middle.at;
    m.normals.row(i) = middle.normal_area.normalized();
    m.areas[i] = 0;
    for (double p : {0.5 - third / 2, 0.5 + third / 2})
      for (double q : {0.5 - third / 2, 0.5 + third / 2})
        m.areas[i] += surface_point(m, i, p, q).normal_area.norm() / 4;
    const auto &e = m.elements[i];
    m.sizes[i] =
        std::max((m.nodes.row(e[0]) - m.nodes.row(e[2])).norm(), (m.nodes.row(e[1]) - m.nodes.row(e[3])).norm());
  }
}

bool is_closed(const SurfaceMesh &m) {
  std::map<std::pair<int, int>, int> edges;
  for (const auto &e : m.elements)
    for (int i = 0; i < 4; ++i) ++edges[{e[i], e[(i + 1) % 4]}];
  for (const auto &[edge, times] : edges) {
    const auto other = edges.find({edge.second, edge.first});
    if (times != 1 || other == edges.end() || other->second != 1) return false;
  }
  return !edges.empty();
}

double enclosed_volume(const SurfaceMesh &m) {
  double volume = 0;
  for (int i = 0; i < int(m.elements.size()); ++i)
    for (double p : {0.5 - third / 2, 0.5 + third / 2})
      for (double q : {0.5 - third / 2, 0.5 + third / 2}) {
        const SurfacePoint s = surface_point(m, i, p, q);
        volume += s.at.dot(s.normal_area) / 12;
      }
  return volume;
}

SurfaceMesh sphere_surface(double radius, int n) {
  assert(radius > 0 && n > 0);
  SurfaceMesh m;
  Faces faces(radius);
  for (int axis = 0; axis < 3; ++axis)
    for (int side : {-1, 1})
      faces.add(m, n, n, -1, [&](int i, int j) {
        const double a = std::tan(pi / 4 * (2.0 * i / n - 1)), b = std::tan(pi / 4 * (2.0 * j / n - 1));
        Eigen::Vector3d p;
        p[axis] = side;
        p[(axis + 1) % 3] = side > 0 ? a : b;
        p[(axis + 2) % 3] = side > 0 ? b : a;
        return Eigen::Vector3d(radius * p.normalized());
      });
  faces.finish(m);
  return m;
}

SurfaceMesh box_surface(const std::array<std::vector<double>, 3> &ticks) {
  SurfaceMesh m;
  const Eigen::Vector3d outer(ticks[0].back(), ticks[1].back(), ticks[2].back());
  Faces faces(outer.maxCoeff());
  for (const BoxFace &f : box_faces)
    faces.add(m, int(ticks[f.a].size()) - 1, int(ticks[f.b].size()) - 1, f.wall, [&](int i, int j) {
      Eigen::Vector3d p;
      p[f.axis] = f.high ? outer[f.axis] : 0;
      p[f.a] = ticks[f.a][i];
      p[f.b] = ticks[f.b][j];
      return p;
    });
  faces.finish(m);
  return m;
}

SurfaceMesh box_surface(const Eigen::Vector3d &outer, double size, int least) {
  assert(outer.minCoeff() > 0 && size > 0 && least > 0);
  const std::array<int, 3> n = counts(outer, size, least);
  return box_surface({even_ticks(outer[0], n[0]), even_ticks(outer[1], n[1]), even_ticks(outer[2], n[2])});
}

int cabinet_elements(const Eigen::Vector3d &outer, const OutsideAir &air, double up_to, double per_wave) {
  return elements_of(counts(outer, coarsest(outer, air, up_to, per_wave), least_along));
}

std::vector<int> sound_walls(const Structure &s) {
  if (s.cabinet) return {s.cabinet->walls.begin(), s.cabinet->walls.end()};
  std::vector<int> walls;
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    if (s.solids && s.boards[b].role == BoardRole::wall) walls.push_back(int(b));
  return walls;
}

SurfaceMesh cabinet_surface(const Structure &s, const OutsideAir &air, double up_to, double per_wave, int aimed_at) {
  if (s.solids && s.solids->step_file.empty()) return shape_surface(s, air, up_to, per_wave, aimed_at);
  if (!s.cabinet)
    throw CaseError(s.case_name +
                    ": no cabinet; allowed: a case with [cabinet]; the sound outside is that of a closed "
                    "box, so describe the walls by [cabinet] rather than as free boards");
  const Eigen::Vector3d outer = s.cabinet->outer;
  const int needed = cabinet_elements(outer, air, up_to, per_wave);
  if (needed > most_outside_elements) {
    double low = 0, high = up_to;
    while (high - low > 1)
      (cabinet_elements(outer, air, (low + high) / 2, per_wave) > most_outside_elements ? high : low) =
          (low + high) / 2;
    throw CaseError(s.case_name + ": up_to_hz: value " + std::to_string(std::lround(up_to)) +
                    "; allowed for the sound outside of a box of " + length_text(outer.x()) + " x " +
                    length_text(outer.y()) + " x " + length_text(outer.z()) + ": up to " +
                    std::to_string(int(low / 10) * 10) + " Hz (" + std::to_string(most_outside_elements) +
                    " surface elements; this takes " + std::to_string(needed) + "); ask for a lower top frequency");
  }
  double size = coarsest(outer, air, up_to, per_wave);
  while (elements_of(counts(outer, size * 0.97, least_along)) <= std::max(aimed_at, needed)) size *= 0.97;
  SurfaceMesh m = box_surface(outer, size, least_along);
  for (int i = 0; i < int(m.elements.size()); ++i) {
    const int b = s.cabinet->walls[m.wall[i]];
    if (b < 0) continue;
    const Board &board = s.boards[b];
    for (std::size_t c = 0; c < board.cut_outs.size(); ++c)
      if (lies_in(board.cut_outs[c], board_place(board, m.centres.row(i)))) m.cut_out[i] = int(c);
  }
  return m;
}

Eigen::VectorXd cut_out_shares(const SurfaceMesh &m, const Structure &s, int wall, int cut_out) {
  const Board &board = s.boards[sound_walls(s).at(wall)];
  const CutOut &c = board.cut_outs.at(cut_out);
  if (!s.cabinet) {
    Eigen::VectorXd shares = sampled_shares(m, wall, board, [&](const Eigen::Vector2d &p) { return lies_in(c, p); });
    const double area = shares.dot(m.areas);
    if (area > 0) shares *= cut_out_area(c) / area;
    return shares;
  }
  // Exact along u, midpoints of fine strips along v; then scaled, by some 1e-4, to the exact area.
  constexpr int strips = 200;
  Eigen::VectorXd shares = Eigen::VectorXd::Zero(m.elements.size());
  for (int i = 0; i < int(m.elements.size()); ++i) {
    if (m.wall[i] != wall) continue;
    Eigen::Vector2d low(1e9, 1e9), high(-1e9, -1e9);
    for (int node : m.elements[i]) {
      const Eigen::Vector2d p = board_place(board, m.nodes.row(node));
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
    const double step = (high.y() - low.y()) / strips;
    for (int k = 0; k < strips; ++k) {
      const double v0 = std::max(low.y() + step * k, c.centre.y() - c.height / 2);
      const double v1 = std::min(low.y() + step * (k + 1), c.centre.y() + c.height / 2);
      if (v1 <= v0) continue;
      const double half = half_width(c, (v0 + v1) / 2 - c.centre.y());
      const double from = std::max(low.x(), c.centre.x() - half), to = std::min(high.x(), c.centre.x() + half);
      if (half > 0 && to > from) shares[i] += (to - from) / (high.x() - low.x()) * (v1 - v0) / (high.y() - low.y());
    }
  }
  const double area = shares.dot(m.areas);
  if (area > 0) shares *= cut_out_area(c) / area;
  return shares;
}

}  // namespace stillbox
