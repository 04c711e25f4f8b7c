// SPDX-License-Identifier: MIT
#pragma once
#include "solver/damped_modes.h"
#include "solver/modes.h"

namespace stillbox {

/// The damped problem of a model: its wood with the largest volume is the base, every other group of materials of one
/// complex scale is a part, feet are a lossless part and each bond is a part of its own. The model must outlive it.
/// Moduli at the structure's temperature.
DampedProblem make_damped_problem(const Model &model);

/// Complex scale of one layer's stress law at a frequency (Hz) and the structure's temperature: 1 + i eta, or from the
/// material's table. Errors: std::domain_error outside the table.
std::complex<double> layer_scale(const Model &model, int layer, double frequency);

/// True when the energy method may be off by more than 1 %: a loss factor above 0.1 (its error is of second order), or
/// a material whose moduli change with frequency.
bool wants_exact_damping(const Structure &structure);
/// Whether the complex problem is solved whatever the modes turn out to be: asked for, or needed as above.
inline bool has_exact_damping(Damping damping, const Structure &structure) {
  return damping == Damping::exact || (damping == Damping::where_needed && wants_exact_damping(structure));
}

}  // namespace stillbox
