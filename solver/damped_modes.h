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
  std::vector<LossyPart> parts = {};
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

/// How far the energy method is off at least: the largest relative difference of a frequency or loss factor between
/// `energy` (of energy_modes) and the complex problem within the span of the real modes. Neighbours in frequency with
/// different losses differ here even when all losses are small. K and M are not looked at. Errors: std::domain_error
/// from the parts' scales.
double energy_method_error(const DampedProblem &problem, const EigenPairs &real, const std::vector<DampedMode> &energy);

struct DampedOptions {
  double tolerance = 2e-4;  ///< of the residual
  int most_steps = 25;
  int batch = 64;  ///< modes that are solved for together: memory against speed
  std::function<void(int done, int of)> progress;
};

/// Exact damped modes, one for each real mode, in the same order. Each starts from `energy` (of energy_modes); the
/// complex symmetric problem is projected (Galerkin, without conjugation) on the real modes, on real.above and on
/// corrections (K - s M)^-1 r that the modes of a batch share. r are the residuals, their real and imaginary parts as
/// columns of their own, of which only those are solved for that hold a tenth of the largest residual. `factor` is that
/// of K - s M with any s that is no eigenvalue: the one that found the real modes does. As the matrices are symmetric,
/// lambda is off by the square of the residual only, over the distance to what the space does not hold: with the
/// tolerance as it is by some 1e-7, the loss factor by some 1e-6 of its own. Where rounding alone leaves more than the
/// tolerance of the residual, the mode is taken when the residual falls no more and its least is within 16 times that
/// (see rounding_of). Errors: SolveError when a mode does not reach the tolerance or two end in the same one;
/// std::domain_error from the parts' scales outside their tables.
std::vector<DampedMode> exact_modes(const DampedProblem &problem, const SparseFactor &factor, const EigenPairs &real,
                                    const std::vector<DampedMode> &energy, const DampedOptions &options = {});

}  // namespace stillbox
