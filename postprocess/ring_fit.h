// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <complex>
#include <vector>

namespace stillbox {

/// A sum of exponentials common to several stretches of samples: y_k[n] = sum over j of amplitudes(j, k) exp(s_j n /
/// rate) plus noise. Poles s_j = -sigma_j + i omega_j (1/s), relative to the band's centre.
struct RingFit {
  std::vector<std::complex<double>> poles;
  std::vector<bool> steady;     ///< sigma is held at 0
  Eigen::MatrixXcd amplitudes;  ///< poles x stretches
  double misfit = 0;            ///< sum of squares of what is left
  double noise = 0;  ///< variance per sample: misfit over the degrees of freedom, or the one found in the quiet
  Eigen::MatrixXd covariance;    ///< of sigma_1, omega_1, sigma_2, ... (1/s)^2: the Cramer-Rao bound at that noise
  Eigen::MatrixXd amplitude_sd;  ///< poles x stretches, with the poles known
};

/// Poles by ESPRIT, one set for every order 1 .. most: the signal space is spanned by the leading eigenvectors of
/// R = sum over k of H_k H_k^H, H_k the Hankel matrix (rows: lag) of stretch k, and the poles are the eigenvalues of
/// the least-squares shift between its first and last rows (R. Roy, T. Kailath, IEEE Trans. ASSP 37, 1989; for
/// stretches with common poles, S. Van Huffel et al., "HSVD", 1990s; both from memory). Result [order - 1]; growing
/// poles are left out.
std::vector<std::vector<std::complex<double>>> esprit_poles(const std::vector<Eigen::VectorXcd> &stretches, double rate,
                                                            int most);

/// Least squares by variable projection (G.H. Golub, V. Pereyra 1973, in L. Kaufman's form, 1975, from memory) with
/// Levenberg-Marquardt steps from `start`: for white noise the estimate of maximum likelihood. `colour` is the ratio of
/// the noise density within the band to the mean over the sampled band (>= 1): neighbouring samples of a filtered noise
/// say less than as many independent ones. `quiet` is the noise's variance per sample found elsewhere, 0 when unknown.
RingFit refine_poles(const std::vector<Eigen::VectorXcd> &stretches, double rate,
                     const std::vector<std::complex<double>> &start, const std::vector<bool> &steady, double colour,
                     double quiet, int steps);

/// Poles of the order with the least description length (J. Rissanen 1978, from memory): 2 N ln(misfit) +
/// (2 p + 2 p K) ln(2 N) with N the number of independent samples, K stretches and p poles, the misfit not counted
/// below that of the `quiet` noise. The best three orders by ESPRIT are refined before one is chosen. Of its poles
/// those are kept that come back (within 10 % of their distance to the real axis plus 0.5 % of the sampled band) in at
/// least two of the next three higher orders of ESPRIT ("stabilisation").
RingFit fit_ringing(const std::vector<Eigen::VectorXcd> &stretches, double rate, double colour, double quiet, int most);

}  // namespace stillbox
