// SPDX-License-Identifier: MIT
#include "solver/direct_response.h"

#include "solver/complex_factor.h"
#include "solver/lossy_parts.h"

namespace stillbox {

Eigen::MatrixXcd direct_receptance(const Model &m, const SampleColumns &loads, const SampleColumns &responses,
                                   double frequency) {
  const double omega = 2 * M_PI * frequency;
  Eigen::MatrixXcd x = Eigen::MatrixXd(loads).cast<std::complex<double>>();
  ComplexFactor(make_damped_problem(m), frequency, omega * omega).solve(x);
  return responses.transpose().cast<std::complex<double>>() * x;
}

}  // namespace stillbox
