// SPDX-License-Identifier: MIT
#include "solver/outside_shape.h"

#include <algorithm>
#include <cmath>

#include "mesh/case_file.h"
#include "mesh/outer_quads.h"
#include "mesh/solids.h"

namespace stillbox {
namespace {

// The wall whose outer face is nearest, of those that look the same way; on a chamfer one of the two beside it.
int nearest_wall(const Structure &s, const std::vector<int> &walls, const Eigen::Vector3d &x,
                 const Eigen::Vector3d &normal) {
  int best = 0;
  double least = 1e300;
  for (int w = 0; w < int(walls.size()); ++w) {
    const Board &board = s.boards[std::size_t(walls[std::size_t(w)])];
    const double level = board.coordinates_of(x).z() - board.thickness();
    const double off = std::abs(level) + 0.05 * (1 - normal.dot(board.axes_at(x).col(2)));
    if (off >= least) continue;
    least = off;
    best = w;
  }
  return best;
}

}  // namespace

SurfaceMesh shape_surface(const Structure &s, const OutsideAir &air, double up_to, double per_wave, int aimed_at) {
  double area = 0, longest = 0;
  Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300), high = -low;
  for (const int b : sound_walls(s)) {
    const Board &board = s.boards[std::size_t(b)];
    area += outline_area(board);
    const auto [from, to] = outline_bounds(board);
    for (int k = 0; k < 16; ++k)
      for (const double v : {from.y(), to.y()}) {
        const Eigen::Vector3d x = board.at(from.x() + (to.x() - from.x()) * k / 15, v, board.thickness());
        low = low.cwiseMin(x);
        high = high.cwiseMax(x);
      }
  }
  longest = (high - low).maxCoeff();
  const auto needed_at = [&](double f) { return area / std::pow(std::min(air.speed / f / per_wave, longest / 6), 2); };
  const double needed = needed_at(up_to);
  if (needed > most_outside_elements) {
    double from = 0, to = up_to;
    while (to - from > 1) (needed_at((from + to) / 2) > most_outside_elements ? to : from) = (from + to) / 2;
    throw CaseError(s.case_name + ": up_to_hz: value " + std::to_string(std::lround(up_to)) +
                    "; allowed for the sound outside of this cabinet: up to " + std::to_string(int(from / 10) * 10) +
                    " Hz (" + std::to_string(most_outside_elements) + " surface elements; this takes some " +
                    std::to_string(std::lround(needed)) + "); ask for a lower top frequency");
  }
  const double target = std::max(needed, double(aimed_at));
  double size = std::sqrt(area / target);
  QuadSurface quads = outer_quads(s, size);
  for (int again = 0; again < 3; ++again) {  // small faces get more than their share
    const double over = double(quads.quads.size()) / target;
    if (over < 1.2) break;
    size *= std::sqrt(over);
    const QuadSurface coarser = outer_quads(s, size);
    if (double(coarser.quads.size()) < 0.9 * target) break;
    quads = coarser;
  }
  SurfaceMesh m;
  m.nodes.resize(Eigen::Index(quads.nodes.size()), 3);
  for (std::size_t i = 0; i < quads.nodes.size(); ++i) m.nodes.row(Eigen::Index(i)) = quads.nodes[i].transpose();
  m.elements = quads.quads;
  m.cut_out.assign(m.elements.size(), -1);
  set_geometry(m);
  const std::vector<int> walls = sound_walls(s);
  for (int e = 0; e < int(m.elements.size()); ++e) {
    m.wall.push_back(nearest_wall(s, walls, m.centres.row(e), m.normals.row(e)));
    const Board &board = s.boards[std::size_t(walls[std::size_t(m.wall.back())])];
    const Eigen::Vector3d p = board.coordinates_of(m.centres.row(e));
    for (std::size_t c = 0; c < board.cut_outs.size(); ++c)
      if ((p.head<2>() - board.cut_outs[c].centre).norm() <
          0.5 * std::min(board.cut_outs[c].width, board.cut_outs[c].height))
        m.cut_out[std::size_t(e)] = int(c);
  }
  return m;
}

Eigen::VectorXd sampled_shares(const SurfaceMesh &m, int wall, const Board &board,
                               const std::function<bool(const Eigen::Vector2d &)> &inside) {
  constexpr int parts = 24;
  Eigen::VectorXd shares = Eigen::VectorXd::Zero(Eigen::Index(m.elements.size()));
  for (int e = 0; e < int(m.elements.size()); ++e) {
    if (m.wall[std::size_t(e)] != wall) continue;
    double within = 0, all = 0;
    for (int i = 0; i < parts; ++i)
      for (int j = 0; j < parts; ++j) {
        const SurfacePoint x = surface_point(m, e, (i + 0.5) / parts, (j + 0.5) / parts);
        const double weight = x.normal_area.norm();
        all += weight;
        if (inside(board.coordinates_of(x.at).head<2>())) within += weight;
      }
    shares[e] = within / all;
  }
  return shares;
}

}  // namespace stillbox
