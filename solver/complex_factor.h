// SPDX-License-Identifier: MIT
#pragma once
#include <memory>

#include "solver/damped_modes.h"

namespace stillbox {

/// Complex symmetric L D L' (MUMPS) of K*(f) - shift M at one frequency (Hz), see DampedProblem, in an
/// order of elimination by METIS. A factor that would fill more than a third of the memory
/// that is free goes to disk.
/// Errors: SolveError when memory or disk runs out or the matrix is singular; std::domain_error from the parts' scales
/// outside their tables.
class ComplexFactor {
 public:
  ComplexFactor(const DampedProblem &problem, double frequency, std::complex<double> shift);
  ~ComplexFactor();
  ComplexFactor(const ComplexFactor &) = delete;
  ComplexFactor &operator=(const ComplexFactor &) = delete;

  /// Solves in place.
  void solve(Eigen::MatrixXcd &x) const;

 private:
  struct Instance;
  std::unique_ptr<Instance> instance_;
};

}  // namespace stillbox
