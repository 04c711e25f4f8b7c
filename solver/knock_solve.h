// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/knock_model.h"
#include "solver/modes.h"

namespace stillbox {

/// A variant's modes, what a knock needs of them, and what bounds the error of leaving the higher ones out.
struct KnockSolution {
  KnockModel model;
  ModalResult modes;
  Eigen::VectorXd residual_slope;  ///< per point, m/N s2: sum over the modes left out of x(s)^2 / lambda^2
};

/// Modes as solve_modes finds them, sampled at the points and over the walls.
///   poles, shapes  the complex modes where the damping was solved exactly, else the real ones with the loss factor of
///                  the energy method. Losses are those of materials and bonds; what a mode radiates is not in them.
///   rigid          M-orthonormal rigid motions, those of loose parts included.
///   residual       R(r, s) = sum over the modes left out of x(r) x(s) / (lambda + e), e = 1e-4 (2 pi up_to)^2: solves
///                  with K + e M, 32 loads at a time, each load and answer made M-orthogonal to the modes kept. As
///                  every mode left out has lambda >= (2 pi up_to)^2, R is too small by at most 1e-4 of itself (0.001
///                  dB). K may be singular: e > 0 keeps it solvable and the rigid motions are taken out. Real moduli:
///                  those the real modes were found with. The mesh, made for waves, rounds off the peak under a
///                  fingertip: a plate's deflection under the load comes out some 2 % too small at fineness 1 (0.2 dB).
///   upper          Ritz vectors in the span of those answers u, from u' K u and a second solve for u' M u: they keep
///                  the first two moments of the modes left out, sum x x / lambda and sum x x / lambda^2, exactly. This
///                  is the component-mode idea of residual attachment modes (Rubin; Craig and Chang; from memory).
///                  Their loss factor is the mean of the modes kept.
/// Points are averages over a fingertip's patch (knock_samples.h), loads are spread alike.
/// Errors: as solve_modes; SolveError when a point has no wood under it.
KnockSolution solve_knock(const Structure &structure, const SolveOptions &options,
                          const std::vector<KnockPoint> &points);

/// Upper bound (m/N) of what the receptance between points r and s lacks at a frequency (Hz) for want of the higher
/// modes, their damping aside: the noise floor of the truncated model. The answer b / (lambda - w^2) of the modes left
/// out is approached from below by the best one in the span of the answers u, and u itself is off by
/// w^2 / (lambda (lambda - w^2)) b. So by Cauchy and Schwarz
///   floor = w^4 sqrt(slope(r) slope(s)) / ((2 pi up_to)^2 - w^2),  infinite from up_to on.
double truncation_floor(const KnockSolution &solution, int r, int s, double frequency);

}  // namespace stillbox
