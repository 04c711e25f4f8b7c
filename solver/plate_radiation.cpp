// SPDX-License-Identifier: MIT
#include "solver/plate_radiation.h"

#include <cassert>
#include <cmath>

#include "solver/gauss_legendre.h"

namespace stillbox {
namespace {
constexpr double pi = 3.14159265358979323846;
}

double baffled_power(const Eigen::Matrix<double, Eigen::Dynamic, 2> &points, const Eigen::VectorXd &weights,
                     const Eigen::VectorXcd &velocity, const OutsideAir &air, double frequency) {
  const int n = int(points.rows());
  assert(weights.size() == n && velocity.size() == n && frequency > 0);
  const double k = wave_number(air, frequency);
  const Eigen::VectorXcd q = weights.asDiagonal() * velocity;
  double sum = 0;
  for (int s = 0; s < n; ++s) {
    sum += std::norm(q[s]) * k;
    for (int t = 0; t < s; ++t) {
      const double r = (points.row(s) - points.row(t)).norm();
      sum += 2 * (q[s].real() * q[t].real() + q[s].imag() * q[t].imag()) * (r > 0 ? std::sin(k * r) / r : k);
    }
  }
  return air.density * 2 * pi * frequency / (4 * pi) * sum;
}

double baffled_efficiency(const Eigen::Matrix<double, Eigen::Dynamic, 2> &points, const Eigen::VectorXd &weights,
                          const Eigen::VectorXcd &velocity, const OutsideAir &air, double frequency) {
  const double area_mean_square = weights.dot(velocity.cwiseAbs2()) / 2;  // S <v^2>
  assert(area_mean_square > 0);
  return baffled_power(points, weights, velocity, air, frequency) / (air.density * air.speed * area_mean_square);
}

double simply_supported_efficiency(double a, double b, int m, int n, const OutsideAir &air, double frequency) {
  assert(a > 0 && b > 0 && m > 0 && n > 0);
  const double k = wave_number(air, frequency);
  const GaussRule x = gauss_legendre(10 + 2 * m + int(k * a)), y = gauss_legendre(10 + 2 * n + int(k * b));
  const int count = int(x.point.size() * y.point.size());
  Eigen::Matrix<double, Eigen::Dynamic, 2> points(count, 2);
  Eigen::VectorXd weights(count);
  Eigen::VectorXcd velocity(count);
  for (int j = 0, at = 0; j < y.point.size(); ++j)
    for (int i = 0; i < x.point.size(); ++i, ++at) {
      points.row(at) << a * (1 + x.point[i]) / 2, b * (1 + y.point[j]) / 2;
      weights[at] = x.weight[i] * y.weight[j] * a * b / 4;
      velocity[at] = std::sin(m * pi * points(at, 0) / a) * std::sin(n * pi * points(at, 1) / b);
    }
  return baffled_efficiency(points, weights, velocity, air, frequency);
}

}  // namespace stillbox
