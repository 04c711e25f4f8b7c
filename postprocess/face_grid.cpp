// SPDX-License-Identifier: MIT
#include "postprocess/face_grid.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>
#include <utility>

namespace stillbox {
namespace {

/// Numbers on a grid, the first index fastest.
struct Raster {
  int nu, nv;
  std::vector<double> at;
  Raster(int columns, int rows) : nu(columns), nv(rows), at(static_cast<std::size_t>(columns) * rows, 0.0) {}
  double &operator()(int i, int j) { return at[static_cast<std::size_t>(i) + static_cast<std::size_t>(j) * nu]; }
  double operator()(int i, int j) const { return at[static_cast<std::size_t>(i) + static_cast<std::size_t>(j) * nu]; }
};

Raster transposed(const Raster &in) {
  Raster out(in.nv, in.nu);
  for (int j = 0; j < in.nv; ++j) {
    for (int i = 0; i < in.nu; ++i) out(j, i) = in(i, j);
  }
  return out;
}

constexpr std::array<std::pair<int, int>, 8> neighbours{
    {{-1, -1}, {0, -1}, {1, -1}, {-1, 0}, {1, 0}, {-1, 1}, {0, 1}, {1, 1}}};

/// Points without wood, ring after ring from the rim of the wood: the first two rings go on in a straight line from the
/// two nearest points where these are known, as the interpolation near the rim leans on them; all others take the mean
/// of their known neighbours.
void fill_absent(Raster &values, const std::vector<char> &present) {
  Raster known(values.nu, values.nv);
  std::copy(present.begin(), present.end(), known.at.begin());
  const auto is_known = [&](const Raster &where, int i, int j) {
    return i >= 0 && j >= 0 && i < where.nu && j < where.nv && where(i, j) != 0;
  };
  bool changed = true;
  for (int ring = 0; changed; ++ring) {
    changed = false;
    const Raster before = known;
    for (int j = 0; j < values.nv; ++j) {
      for (int i = 0; i < values.nu; ++i) {
        if (before(i, j) != 0) continue;
        double mean = 0, straight = 0;
        int near = 0, far = 0;
        for (const auto &[a, b] : neighbours) {
          if (!is_known(before, i + a, j + b)) continue;
          mean += values(i + a, j + b);
          ++near;
          if (ring > 1 || !is_known(before, i + 2 * a, j + 2 * b)) continue;
          straight += 2 * values(i + a, j + b) - values(i + 2 * a, j + 2 * b);
          ++far;
        }
        if (near == 0) continue;
        values(i, j) = far > 0 ? straight / far : mean / near;
        known(i, j) = 1;
        changed = true;
      }
    }
  }
}

/// Catmull-Rom interpolation along rows, `factor` times finer; straight continuation past the ends.
Raster finer_rows(const Raster &in, int factor) {
  Raster out((in.nu - 1) * factor + 1, in.nv);
  const auto sample = [&](int i, int j) {
    if (i < 0) return 2 * in(0, j) - in(1, j);
    if (i >= in.nu) return 2 * in(in.nu - 1, j) - in(in.nu - 2, j);
    return in(i, j);
  };
  for (int j = 0; j < in.nv; ++j) {
    for (int i = 0; i < out.nu; ++i) {
      const int k = std::min(i / factor, in.nu - 2);
      const double t = static_cast<double>(i - k * factor) / factor;
      const double a = sample(k - 1, j), b = sample(k, j), c = sample(k + 1, j), d = sample(k + 2, j);
      out(i, j) = b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
    }
  }
  return out;
}

/// Weights 1/4, 1/2, 1/4 along rows.
Raster smooth_rows(const Raster &in) {
  Raster out(in.nu, in.nv);
  for (int j = 0; j < in.nv; ++j) {
    for (int i = 0; i < in.nu; ++i) {
      out(i, j) = 0.25 * in(std::max(i - 1, 0), j) + 0.5 * in(i, j) + 0.25 * in(std::min(i + 1, in.nu - 1), j);
    }
  }
  return out;
}

double trapezoid(int i, int n) { return (i == 0 || i == n - 1 ? 0.5 : 1.0) / (n - 1); }

/// The level above which the part `share` (0 .. 1) of the area lies.
double level_of_share(const Raster &values, double share) {
  std::vector<std::pair<double, double>> falling;
  for (int j = 0; j < values.nv; ++j) {
    for (int i = 0; i < values.nu; ++i)
      falling.emplace_back(-values(i, j), trapezoid(i, values.nu) * trapezoid(j, values.nv));
  }
  std::sort(falling.begin(), falling.end());
  double sum = 0;
  for (const auto &[negative, weight] : falling) {
    sum += weight;
    if (sum >= share) return std::clamp(-negative, 0.05, 0.95);
  }
  return 0.5;
}

/// Signed distance (m) to the face's outline, negative inside; without an outline far inside. Of an outline with inward
/// corners it is found edge by edge, else from the lines of the edges.
double beyond_outline(const FaceSamples &face, const Eigen::Vector2d &p) {
  const std::size_t n = face.outline.size();
  if (n == 0) return -1e300;
  bool convex = true, inside = false;
  double most = -1e300, least = 1e300;
  for (std::size_t i = 0; i < n; ++i) {
    const Eigen::Vector2d &a = face.outline[i], &b = face.outline[(i + 1) % n], &c = face.outline[(i + 2) % n];
    const Eigen::Vector2d along = b - a, next = c - b;
    convex = convex && along.x() * next.y() - along.y() * next.x() > -1e-9 * along.norm() * next.norm();
    if ((a.y() > p.y()) != (b.y() > p.y()) && p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
    most = std::max(most, (along.y() * (p.x() - a.x()) - along.x() * (p.y() - a.y())) / along.norm());
    least = std::min(least, (a + std::clamp((p - a).dot(along) / along.squaredNorm(), 0.0, 1.0) * along - p).norm());
  }
  if (convex) return most;
  return inside ? -least : least;
}

int factor_for(double spacing, double step) { return std::clamp(static_cast<int>(std::ceil(spacing / step)), 1, 16); }

}  // namespace

FaceGrid fine_grid(const FaceSamples &face, const Eigen::VectorXd &values, double scale, double step) {
  assert(face.nu >= 2 && face.nv >= 2 && step > 0);
  assert(values.size() == static_cast<Eigen::Index>(face.present.size()));
  Raster coarse(face.nu, face.nv), presence(face.nu, face.nv);
  const Eigen::Vector2d spacing(face.size[0] / (face.nu - 1), face.size[1] / (face.nv - 1));
  double share = 0;
  for (int j = 0; j < face.nv; ++j) {
    for (int i = 0; i < face.nu; ++i) {
      const auto point = static_cast<std::size_t>(i + j * face.nu);
      if (!face.present[point]) {
        // Beyond the outline, whose edge is drawn as it is.
        if (beyond_outline(face, spacing.cwiseProduct(Eigen::Vector2d(i, j))) < -0.3 * spacing.minCoeff()) continue;
        presence(i, j) = 1;
        share += trapezoid(i, face.nu) * trapezoid(j, face.nv);
        continue;
      }
      coarse(i, j) = scale * values[static_cast<Eigen::Index>(point)];
      presence(i, j) = 1;
      share += trapezoid(i, face.nu) * trapezoid(j, face.nv);
    }
  }
  fill_absent(coarse, face.present);

  const int factor_u = factor_for(face.size[0] / (face.nu - 1), step);
  const int factor_v = factor_for(face.size[1] / (face.nv - 1), step);
  const auto finer = [&](const Raster &in) {
    return transposed(finer_rows(transposed(finer_rows(in, factor_u)), factor_v));
  };
  Raster fine = finer(coarse);
  for (double &value : fine.at) value = std::clamp(value, -1.0, 1.0);

  FaceGrid grid;
  grid.nu = fine.nu;
  grid.nv = fine.nv;
  grid.size = face.size;
  if (std::find(face.present.begin(), face.present.end(), 0) != face.present.end()) {
    // The samples know only yes or no: three passes take the steps out of slanting and round edges.
    for (int pass = 0; pass < 3; ++pass) presence = transposed(smooth_rows(transposed(smooth_rows(presence))));
    Raster wood = finer(presence);
    // Without a cut-out the outline alone decides.
    const double level = share > 1 - 1e-9 ? 0.0 : level_of_share(wood, share);
    for (double &value : wood.at) value -= level;
    if (!face.outline.empty())
      for (int j = 0; j < wood.nv; ++j)
        for (int i = 0; i < wood.nu; ++i)
          wood(i, j) = std::min(
              wood(i, j), -beyond_outline(face, {face.size[0] * i / (wood.nu - 1), face.size[1] * j / (wood.nv - 1)}) /
                              spacing.minCoeff());
    grid.wood = wood.at;
  }

  grid.value = fine.at;
  return grid;
}

double value_at(const FaceGrid &grid, const Eigen::Vector2d &uv) {
  const double x = uv[0] / grid.size[0] * (grid.nu - 1), y = uv[1] / grid.size[1] * (grid.nv - 1);
  if (!(x >= 0 && y >= 0 && x <= grid.nu - 1 && y <= grid.nv - 1)) return std::numeric_limits<double>::quiet_NaN();
  const int i = std::min(static_cast<int>(x), grid.nu - 2), j = std::min(static_cast<int>(y), grid.nv - 2);
  const double s = x - i, t = y - j;
  const auto at = [&](int a, int b) { return grid.value[static_cast<std::size_t>(a + b * grid.nu)]; };
  return (1 - t) * ((1 - s) * at(i, j) + s * at(i + 1, j)) + t * ((1 - s) * at(i, j + 1) + s * at(i + 1, j + 1));
}

}  // namespace stillbox
