// SPDX-License-Identifier: MIT
#pragma once
#include <complex>
#include <functional>
#include <string>
#include <vector>

#include "solver/assembly.h"
#include "solver/block_lanczos.h"

namespace stillbox {

/// A part of the structure with a complex stiffness of its own: K*(f) = scale(f) K.
struct LossyPart {
  std::string name;
  SparseMatrix stiffness;  ///< lower triangle, with the moduli the real modes were found with
  std::function<std::complex<double>(double)> scale;  ///< of the frequency in Hz
};

/// K*(f) x = lambda M x with K*(f) = base(f) (K - sum of K_p) + sum of scale_p(f) K_p, K the real stiffness of all.
/// A mode has lambda = (2 pi f)^2 (1 + i eta), with the moduli taken at its own f: f the frequency, eta the loss
/// factor.
struct DampedProblem {
  const SparseMatrix *stiffness = nullptr, *mass = nullptr;
  std::function<std::complex<double>(double)> base;
  std::vector<LossyPart> parts;
};

/// One damped mode. The energy method keeps the real mode's shape; the exact one is an eigenpair of the complex
/// problem.
struct DampedMode {
  double frequency = 0, loss_factor = 0;
  double residual = 0;     ///< |K*(f) x - lambda M x| / (|lambda| |M x|)
  int steps = 0;           ///< correction solves
  Eigen::VectorXcd shape;  ///< in unknowns, x' M x = 1
};

/// Quick answer: lambda = sum of scale_p(f) x' K_p x with the real mode's shape x, f found by iteration. First order in
/// the loss factor; source: Ungar and Kerwin, J. Acoust. Soc. Am. 34, 954-957, 1962 (from memory).
/// `residual` and `shape` stay empty.
std::vector<DampedMode> energy_modes(const DampedProblem &problem, const EigenPairs &real);

struct DampedOptions {
  double tolerance = 5e-7;  ///< of the residual; a mode also counts as found when only rounding is left of it
  int most_steps = 30;
  int batch = 8;  ///< modes that are solved for together: memory against speed
  std::function<void(int done, int of)> progress;
};

/// Exact damped modes, one for each real mode, in the same order. Each starts from the real modes and is corrected by
/// solves with the real shifted factor of K - shift M; the complex problem is projected on the real modes and the
/// mode's corrections (Galerkin, complex symmetric).
/// Errors: SolveError when a mode does not reach the tolerance or two end in the same one; std::domain_error from
/// the parts' scales outside their tables.
std::vector<DampedMode> exact_modes(const DampedProblem &problem, const SparseFactor &factor, double shift,
                                    const EigenPairs &real, const DampedOptions &options = {});

}  // namespace stillbox
