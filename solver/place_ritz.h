// SPDX-License-Identifier: MIT
#pragma once
#include "solver/place_model.h"

namespace stillbox {

// Internal to place_model: the small eigenproblems.

struct Ritz {
  Eigen::VectorXd values;   ///< increasing
  Eigen::MatrixXd vectors;  ///< M-orthonormal
};
/// K y = lambda M y of symmetric matrices, M positive definite. Errors: SolveError when it is not.
Ritz ritz_of(const Eigen::MatrixXd &K, const Eigen::MatrixXd &M);

/// One past the last elastic mode up to a frequency (Hz), at least `rigid`.
int modes_below(const Ritz &ritz, int rigid, double hertz);

/// Product of the stretches at p.
double weight_at(const PlaceModel &model, double p);

}  // namespace stillbox
