// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

#include "solver/knock_samples.h"
#include "solver/modes.h"

namespace stillbox {

/// Receptance (m/N) without modes, to check them against: (K*(f) - w^2 M) x = b with the complex stiffness of every
/// part at this frequency (see DampedProblem), by one complex symmetric factorisation (MUMPS), then responses' x.
/// `loads`, `responses`: columns of weights on the unknowns; result: responses x loads. The loss is structural:
/// compare spectra with Losses::structural.
/// Errors: SolveError when memory runs out or the matrix is singular; std::domain_error outside a material's table.
Eigen::MatrixXcd direct_receptance(const Model &model, const SampleColumns &loads, const SampleColumns &responses,
                                   double frequency);

}  // namespace stillbox
