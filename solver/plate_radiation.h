// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

#include "solver/monopole_sound.h"

namespace stillbox {

/// Power (W) that a flat plate in an endless rigid baffle radiates to one side, by Rayleigh's integral:
///   W = (w rho / 4 pi) sum over s, t of weight_s weight_t Re(conj(v_s) v_t) sin(k r) / r,
/// from the normal velocities v (m/s, complex amplitudes) at points of the plate (points x 2, m) whose weights (m2) sum
/// to its area. The kernel is smooth, so a quadrature of the velocity is one of the power. A box is no baffle: this is
/// for checks and for the order of magnitude; the boundary elements of outside_sound.h do not need it.
double baffled_power(const Eigen::Matrix<double, Eigen::Dynamic, 2> &points, const Eigen::VectorXd &weights,
                     const Eigen::VectorXcd &velocity, const OutsideAir &air, double frequency);

/// Radiation efficiency W / (rho c S <v^2>), <v^2> the mean over the plate of the squared effective velocity.
double baffled_efficiency(const Eigen::Matrix<double, Eigen::Dynamic, 2> &points, const Eigen::VectorXd &weights,
                          const Eigen::VectorXcd &velocity, const OutsideAir &air, double frequency);

/// That of the mode sin(m pi x / a) sin(n pi y / b) of a simply supported plate, m, n >= 1. Gauss points as many as the
/// mode and k a, k b need; k a up to about 60.
double simply_supported_efficiency(double a, double b, int m, int n, const OutsideAir &air, double frequency);

}  // namespace stillbox
