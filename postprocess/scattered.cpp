// SPDX-License-Identifier: MIT
#include "postprocess/scattered.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillbox {
namespace {

double spline(double r2) { return r2 > 0 ? 0.5 * r2 * std::log(r2) : 0; }

}  // namespace

ScatteredSurface surface_through(const std::vector<Eigen::Vector2d> &places, const Eigen::VectorXd &values) {
  assert(!places.empty() && values.size() == Eigen::Index(places.size()));
  ScatteredSurface out;
  Eigen::Vector2d low = places[0], high = places[0];
  for (const Eigen::Vector2d &p : places) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  out.scale = std::max((high - low).maxCoeff(), 1e-12);
  std::vector<double> kept;
  for (std::size_t p = 0; p < places.size(); ++p) {
    const Eigen::Vector2d x = places[p] / out.scale;
    if (std::any_of(out.places.begin(), out.places.end(), [&](const auto &q) { return (q - x).norm() < 1e-6; }))
      continue;
    out.places.push_back(x);
    kept.push_back(values[Eigen::Index(p)]);
  }
  out.values = Eigen::Map<Eigen::VectorXd>(kept.data(), Eigen::Index(kept.size()));
  const auto n = Eigen::Index(out.places.size());
  if (n < 3) return out;
  Eigen::MatrixXd system = Eigen::MatrixXd::Zero(n + 3, n + 3);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j)
      system(i, j) = spline((out.places[std::size_t(i)] - out.places[std::size_t(j)]).squaredNorm());
    system.row(i).tail(3) << 1, out.places[std::size_t(i)].x(), out.places[std::size_t(i)].y();
    system.col(i).tail(3) = system.row(i).tail(3).transpose();
  }
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n + 3);
  right.head(n) = out.values;
  const Eigen::FullPivLU<Eigen::MatrixXd> solver(system);
  if (!solver.isInvertible()) return out;
  const Eigen::VectorXd solution = solver.solve(right);
  out.weights = solution.head(n);
  out.plane = solution.tail(3);
  return out;
}

double surface_at(const ScatteredSurface &surface, const Eigen::Vector2d &place) {
  const Eigen::Vector2d x = place / surface.scale;
  if (surface.weights.size() == 0) {
    std::size_t nearest = 0;
    for (std::size_t p = 1; p < surface.places.size(); ++p)
      if ((surface.places[p] - x).norm() < (surface.places[nearest] - x).norm()) nearest = p;
    return surface.values[Eigen::Index(nearest)];
  }
  double value = surface.plane[0] + surface.plane.tail(2).dot(x);
  for (std::size_t p = 0; p < surface.places.size(); ++p)
    value += surface.weights[Eigen::Index(p)] * spline((surface.places[p] - x).squaredNorm());
  return std::min(value, surface.values.maxCoeff());
}

}  // namespace stillbox
