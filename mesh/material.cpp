// SPDX-License-Identifier: MIT
#include "mesh/material.h"

#include <cmath>
#include <stdexcept>

namespace stillbox {
namespace {

// Voigt place of each stress component, in the order 11, 22, 33, 23, 13, 12.
constexpr int row_of[6] = {0, 1, 2, 1, 0, 0};
constexpr int column_of[6] = {0, 1, 2, 2, 2, 1};

}  // namespace

std::complex<double> law_scale(const Material &material, double frequency, double temperature) {
  if (!material.viscoelastic) return {1, material.loss_factor};
  try {
    return at(*material.viscoelastic, frequency, temperature).complex_modulus() / material.law_modulus;
  } catch (const std::domain_error &e) {
    throw std::domain_error("material \"" + material.name + "\": " + e.what());
  }
}

StressLaw orthotropic_law(const OrthotropicConstants &c) {
  for (const double value : {c.e1, c.e2, c.e3, c.g12, c.g13, c.g23})
    if (!(value > 0) || !std::isfinite(value))
      throw std::domain_error("every Young's and shear modulus must be greater than zero");
  StressLaw compliance = StressLaw::Zero();
  compliance(0, 0) = 1 / c.e1;
  compliance(1, 1) = 1 / c.e2;
  compliance(2, 2) = 1 / c.e3;
  compliance(0, 1) = compliance(1, 0) = -c.nu12 / c.e1;
  compliance(0, 2) = compliance(2, 0) = -c.nu13 / c.e1;
  compliance(1, 2) = compliance(2, 1) = -c.nu23 / c.e2;
  compliance(3, 3) = 1 / c.g23;
  compliance(4, 4) = 1 / c.g13;
  compliance(5, 5) = 1 / c.g12;
  if (!is_positive_definite(compliance))
    throw std::domain_error(
        "Young's moduli and Poisson's ratios do not fit together: some load would give energy back");
  const StressLaw law = compliance.inverse();
  return (law + law.transpose()) / 2;
}

StressLaw isotropic_law(double youngs_modulus, double poissons_ratio) {
  if (!(poissons_ratio > -1 && poissons_ratio < 0.5))
    throw std::domain_error("Poisson's ratio of an isotropic material must lie between -1 and 0.5");
  const double e = youngs_modulus, nu = poissons_ratio, g = e / (2 * (1 + nu));
  return orthotropic_law({e, e, e, nu, nu, nu, g, g, g});
}

bool is_positive_definite(const StressLaw &law) {
  if (!law.allFinite()) return false;
  // Scaled to a unit diagonal, so that soft and stiff directions are judged alike.
  StressLaw scaled = law;
  for (int i = 0; i < 6; ++i)
    if (!(law(i, i) > 0)) return false;
  for (int i = 0; i < 6; ++i)
    for (int j = 0; j < 6; ++j) scaled(i, j) /= std::sqrt(law(i, i) * law(j, j));
  const Eigen::SelfAdjointEigenSolver<StressLaw> solver(scaled, Eigen::EigenvaluesOnly);
  return solver.eigenvalues().minCoeff() > 1e-9;
}

StressLaw to_world(const StressLaw &law, const Eigen::Matrix3d &axes) {
  // sigma' = R sigma R^T written on Voigt vectors as sigma' = T sigma; then C' = T C T^T.
  StressLaw turn;
  for (int p = 0; p < 6; ++p)
    for (int q = 0; q < 6; ++q) {
      const int i = row_of[p], j = column_of[p], k = row_of[q], l = column_of[q];
      turn(p, q) = axes(i, k) * axes(j, l) + (k != l ? axes(i, l) * axes(j, k) : 0.0);
    }
  const StressLaw turned = turn * law * turn.transpose();
  return (turned + turned.transpose()) / 2;
}

StressLaw rotate_about_normal(const StressLaw &law, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  Eigen::Matrix3d axes;
  axes << c, -s, 0, s, c, 0, 0, 0, 1;
  return to_world(law, axes);
}

}  // namespace stillbox
