// SPDX-License-Identifier: MIT
#pragma once
#include "solver/lapack.h"
#include "solver/place_model.h"

namespace stillbox {

// Internal to place_model: the small problems of the basis.

/// One past the last elastic mode up to a frequency (Hz), at least `rigid`.
int modes_below(const SymmetricPairs &ritz, int rigid, double hertz);

/// Product of the stretches at p.
double weight_at(const PlaceModel &model, double p);

}  // namespace stillbox
