// SPDX-License-Identifier: MIT
#pragma once
#include <complex>
#include <functional>
#include <string>
#include <vector>

#include "solver/modes.h"

namespace stillbox {

/// Stiffness of the wood on a few shapes, complex, at a frequency f (Hz), moduli and losses of every part at f itself:
///   K*(f) = base(f) (diag(lambda) - sum of K_p) + sum of scale_p(f) K_p.
/// Losses that couple modes are in it, so no mode needs a loss factor of its own.
struct ShapeStiffness {
  struct Part {
    std::string name;
    Eigen::MatrixXd stiffness;  ///< shapes x shapes
    std::function<std::complex<double>(double)> scale;
  };
  Eigen::VectorXd lambda;  ///< 1/s2; 0 of rigid motions
  std::function<std::complex<double>(double)> base;
  std::vector<Part> parts;
};

/// K*(f) in 1/s2. Errors: std::domain_error outside a material's table.
Eigen::MatrixXcd stiffness_at(const ShapeStiffness &stiffness, double frequency);

/// The motions of a cabinet that a steady response is made of, M-orthonormal: the elastic modes up to the top
/// frequency, stand-ins for those above (left_out_modes.h, in the span of their static answers to the given loads and
/// of the answers to the inertia of these) that make the answer to the loads right at low frequencies and good to 0.9
/// times the top one, and the rigid motions that nothing holds.
struct DriveShapes {
  int elastic = 0, left_out = 0, rigid = 0;
  Eigen::MatrixXd vectors;  ///< unknowns x shapes, in that order
  ShapeStiffness stiffness;
};

/// `loads`: unknowns x loads, at most some ten. One factorisation and two solves a load. The structure must outlive the
/// result. Errors: SolveError.
DriveShapes make_drive_shapes(Model &model, const Spectrum &spectrum, const Eigen::MatrixXd &loads,
                              const SolveOptions &options);

}  // namespace stillbox
