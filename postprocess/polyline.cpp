// SPDX-License-Identifier: MIT
#include "postprocess/polyline.h"

#include <algorithm>
#include <map>

namespace stillbox {
namespace {

double distance_to_segment(const Eigen::Vector2d &p, const Eigen::Vector2d &a, const Eigen::Vector2d &b) {
  const Eigen::Vector2d along = b - a;
  const double square = along.squaredNorm();
  const double t = square > 0 ? std::clamp((p - a).dot(along) / square, 0.0, 1.0) : 0.0;
  return (p - a - t * along).norm();
}

/// Marks the points to keep between `first` and `last`; a stack of our own, as lines can be long.
void mark(const Polyline &line, std::size_t first, std::size_t last, double tolerance, std::vector<char> &keep) {
  std::vector<std::pair<std::size_t, std::size_t>> open{{first, last}};
  while (!open.empty()) {
    const auto [a, b] = open.back();
    open.pop_back();
    double most = tolerance;
    std::size_t worst = a;
    for (std::size_t k = a + 1; k < b; ++k) {
      const double distance = distance_to_segment(line[k], line[a], line[b]);
      if (distance > most) {
        most = distance;
        worst = k;
      }
    }
    if (worst == a) continue;
    keep[worst] = 1;
    open.emplace_back(a, worst);
    open.emplace_back(worst, b);
  }
}

}  // namespace

std::vector<std::vector<int>> chain_segments(const std::vector<std::pair<int, int>> &segments) {
  std::map<int, std::vector<std::size_t>> at;  // point -> its segments
  for (std::size_t s = 0; s < segments.size(); ++s) {
    if (segments[s].first == segments[s].second) continue;
    at[segments[s].first].push_back(s);
    at[segments[s].second].push_back(s);
  }
  std::vector<char> used(segments.size(), 0);
  std::vector<std::vector<int>> chains;
  const auto walk = [&](int start) {
    std::vector<int> chain{start};
    for (bool on = true; on;) {
      on = false;
      std::vector<std::size_t> &candidates = at[chain.back()];
      while (!candidates.empty() && !on) {
        const std::size_t s = candidates.back();
        candidates.pop_back();
        if (used[s]) continue;
        used[s] = 1;
        chain.push_back(segments[s].first == chain.back() ? segments[s].second : segments[s].first);
        on = true;
      }
      if (chain.back() == start) break;
    }
    if (chain.size() > 1) chains.push_back(chain);
  };
  std::vector<int> ends, points;
  for (const auto &[point, list] : at) {
    if (list.size() % 2 == 1) ends.push_back(point);
    points.insert(points.end(), list.size() / 2 + 1, point);
  }
  for (const int point : ends) walk(point);
  for (const int point : points) walk(point);
  return chains;
}

Polyline simplify(const Polyline &line, double tolerance) {
  if (line.size() < 3) return line;
  std::vector<char> keep(line.size(), 0);
  keep.front() = keep.back() = 1;
  const bool ring = line.front() == line.back();
  if (ring) {
    std::size_t far = 0;
    for (std::size_t k = 1; k < line.size(); ++k) {
      if ((line[k] - line[0]).squaredNorm() > (line[far] - line[0]).squaredNorm()) far = k;
    }
    keep[far] = 1;
    mark(line, 0, far, tolerance, keep);
    mark(line, far, line.size() - 1, tolerance, keep);
  } else {
    mark(line, 0, line.size() - 1, tolerance, keep);
  }
  Polyline out;
  for (std::size_t k = 0; k < line.size(); ++k) {
    if (keep[k]) out.push_back(line[k]);
  }
  return ring && out.size() < 4 ? Polyline{} : out;
}

double ring_area(const Polyline &ring) {
  double twice = 0;
  for (std::size_t k = 0; k + 1 < ring.size(); ++k) {
    twice += ring[k].x() * ring[k + 1].y() - ring[k + 1].x() * ring[k].y();
  }
  return 0.5 * twice;
}

}  // namespace stillbox
