// SPDX-License-Identifier: MIT
#include "solver/free_bar.h"

#include <Eigen/Dense>
#include <cmath>
#include <stdexcept>

#include "solver/lapack.h"
#include "solver/legendre.h"

namespace stillbox {
namespace {

double correction(const FreeBar &bar, double nu) {
  const double r = bar.thickness / bar.length, r2 = r * r, r4 = r2 * r2;
  return 1 + 6.585 * (1 + 0.0752 * nu + 0.8109 * nu * nu) * r2 - 0.868 * r4 -
         8.340 * (1 + 0.2023 * nu + 2.173 * nu * nu) * r4 / (1 + 6.338 * (1 + 0.1408 * nu + 1.536 * nu * nu) * r2);
}

}  // namespace

double e1876_youngs_modulus(const FreeBar &bar, double frequency, double poissons_ratio) {
  return 0.9465 * bar.mass * frequency * frequency / bar.width * std::pow(bar.length / bar.thickness, 3) *
         correction(bar, poissons_ratio);
}

double e1876_frequency(const FreeBar &bar, double youngs_modulus, double poissons_ratio) {
  return std::sqrt(youngs_modulus / e1876_youngs_modulus(bar, 1, poissons_ratio));
}

double e1876_shear_modulus(const FreeBar &bar, double frequency) {
  const double ratio = bar.width / bar.thickness, slender = bar.width / bar.length;
  const double shape = (1 + ratio * ratio) / (4 - 2.521 / ratio * (1 - 1.991 / (std::exp(M_PI * ratio) + 1))) *
                           (1 + 0.00851 * slender * slender) -
                       0.060 * std::pow(slender, 1.5) * (ratio - 1) * (ratio - 1);
  return 4 * bar.length * bar.mass * frequency * frequency / (bar.width * bar.thickness) * shape;
}

std::vector<double> bar_frequencies(const FreeBar &bar, double youngs_modulus, double shear_modulus, int count) {
  for (const double v : {bar.length, bar.width, bar.thickness, bar.mass, youngs_modulus, shear_modulus})
    if (!(v > 0) || !std::isfinite(v)) throw std::domain_error("a bar needs sizes, mass and moduli above 0");
  const int degree = count + 9;
  const LegendreProducts p = legendre_products(degree);
  const Eigen::Index n = degree + 1;
  const double half = bar.length / 2, area = bar.width * bar.thickness;
  const double inertia = area * bar.thickness * bar.thickness / 12;
  const double per_length = bar.mass / bar.length;
  const double bending = youngs_modulus * inertia, shear = 5.0 / 6 * shear_modulus * area;
  // Deflection w and rotation psi; energy of (w' - psi) and psi'.
  Eigen::MatrixXd stiffness = Eigen::MatrixXd::Zero(2 * n, 2 * n), mass = stiffness;
  stiffness.topLeftCorner(n, n) = shear / half * p.slopes;
  stiffness.topRightCorner(n, n) = -shear * p.mixed;
  stiffness.bottomLeftCorner(n, n) = -shear * p.mixed.transpose();
  stiffness.bottomRightCorner(n, n) = shear * half * p.values + bending / half * p.slopes;
  mass.topLeftCorner(n, n) = per_length * half * p.values;
  mass.bottomRightCorner(n, n) = per_length * bar.thickness * bar.thickness / 12 * half * p.values;
  const SymmetricPairs eigen = symmetric_eigenpairs(stiffness, mass);
  std::vector<double> result;  // after the two rigid motions
  for (Eigen::Index i = 2; i < 2 + count; ++i) result.push_back(std::sqrt(std::max(eigen.values[i], 0.0)) / (2 * M_PI));
  return result;
}

double bar_youngs_modulus(const FreeBar &bar, double frequency, int number, double shear_ratio) {
  // Both moduli scale together, so every frequency goes with the root of E.
  const double at_one = bar_frequencies(bar, 1, shear_ratio, number).at(std::size_t(number) - 1);
  return std::pow(frequency / at_one, 2);
}

}  // namespace stillbox
