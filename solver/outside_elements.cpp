// SPDX-License-Identifier: MIT
#include "solver/outside_elements.h"

#include <array>
#include <cmath>

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
using Complex = std::complex<double>;

// Gauss-Legendre on 0 .. 1; abscissae from memory, checked by the tests of static identities.
constexpr double x2[2] = {0.21132486540518711775, 0.78867513459481288225};
constexpr double w2[2] = {0.5, 0.5};
constexpr double x4[4] = {0.06943184420297371239, 0.33000947820757186760, 0.66999052179242813240,
                          0.93056815579702628761};
constexpr double w4[4] = {0.17392742256872692869, 0.32607257743127307131, 0.32607257743127307131,
                          0.17392742256872692869};
constexpr double far_ratio = 3, near_ratio = 1.2;
constexpr int deepest = 12;

}  // namespace

ElementIntegrator::ElementIntegrator(const SurfaceMesh &mesh, double k) : mesh_(mesh), k_(k) {
  const int n = int(mesh.elements.size());
  two_.reserve(4 * n);
  four_.reserve(16 * n);
  for (int e = 0; e < n; ++e) {
    for (int j = 0; j < 2; ++j)
      for (int i = 0; i < 2; ++i) {
        const SurfacePoint s = surface_point(mesh, e, x2[i], x2[j]);
        two_.push_back({s.at, w2[i] * w2[j] * s.normal_area});
      }
    for (int j = 0; j < 4; ++j)
      for (int i = 0; i < 4; ++i) {
        const SurfacePoint s = surface_point(mesh, e, x4[i], x4[j]);
        four_.push_back({s.at, w4[i] * w4[j] * s.normal_area});
      }
  }
}

inline void ElementIntegrator::add(const Eigen::Vector3d &x, const Point &point, ElementIntegrals &sum) const {
  const Eigen::Vector3d d = point.at - x;
  const double r = d.norm(), kr = k_ * r, s = 1 / (4 * pi * r);
  const double slope = d.dot(point.normal_area) / r;  // dr/dny dA
  const Complex g = s * Complex(std::cos(kr), -std::sin(kr));
  sum.single += g * point.normal_area.norm();
  sum.doubled -= g * Complex(1 / r, k_) * slope;
  sum.static_double -= s / r * slope;
}

void ElementIntegrator::add_part(const Eigen::Vector3d &x, int element, double p, double q, double part, int depth,
                                 ElementIntegrals &sum) const {
  const double ratio =
      (surface_point(mesh_, element, p + part / 2, q + part / 2).at - x).norm() / (mesh_.sizes[element] * part);
  if (ratio < near_ratio && depth < deepest) {
    for (double dq : {0.0, part / 2})
      for (double dp : {0.0, part / 2}) add_part(x, element, p + dp, q + dq, part / 2, depth + 1, sum);
    return;
  }
  for (int j = 0; j < 4; ++j)
    for (int i = 0; i < 4; ++i) {
      const SurfacePoint s = surface_point(mesh_, element, p + part * x4[i], q + part * x4[j]);
      add(x, {s.at, w4[i] * w4[j] * part * part * s.normal_area}, sum);
    }
}

ElementIntegrals ElementIntegrator::from(const Eigen::Vector3d &x, int e) const {
  ElementIntegrals sum;
  const double distance = (mesh_.centres.row(e).transpose() - x).norm(), size = mesh_.sizes[e];
  if (distance > far_ratio * size) {
    for (int i = 0; i < 4; ++i) add(x, two_[4 * std::size_t(e) + i], sum);
  } else if (distance > near_ratio * size) {
    for (int i = 0; i < 16; ++i) add(x, four_[16 * std::size_t(e) + i], sum);
  } else {
    add_part(x, e, 0, 0, 1, 0, sum);
  }
  return sum;
}

ElementIntegrals ElementIntegrator::from_own_middle(int e) const {
  const Eigen::Vector3d x = mesh_.centres.row(e);
  ElementIntegrals sum;
  // Points of the square's outline seen from its middle: t runs out along a ray, Jacobian t / 4 (side 1/2 high).
  for (int side = 0; side < 4; ++side)
    for (int half = 0; half < 2; ++half)
      for (int j = 0; j < 4; ++j)
        for (int i = 0; i < 4; ++i) {
          const double along = (half + x4[j]) / 2 - 0.5, t = x4[i];
          const std::array<double, 2> ray = side == 0   ? std::array<double, 2>{along, -0.5}
                                            : side == 1 ? std::array<double, 2>{0.5, along}
                                            : side == 2 ? std::array<double, 2>{-along, 0.5}
                                                        : std::array<double, 2>{-0.5, -along};
          const SurfacePoint s = surface_point(mesh_, e, 0.5 + t * ray[0], 0.5 + t * ray[1]);
          add(x, {s.at, w4[i] * w4[j] / 2 * t / 2 * s.normal_area}, sum);
        }
  sum.doubled -= sum.static_double;
  sum.static_double = 0;
  return sum;
}

}  // namespace stillbox
