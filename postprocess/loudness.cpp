// SPDX-License-Identifier: MIT
#include "postprocess/loudness.h"

#include <unsupported/Eigen/FFT>

#include <cmath>
#include <complex>

namespace stillbox {
namespace {

double response(double f) {
  const double f2 = f * f, top = 12194.0 * 12194.0;
  return top * f2 * f2 / ((f2 + 20.6 * 20.6) * std::sqrt((f2 + 107.7 * 107.7) * (f2 + 737.9 * 737.9)) * (f2 + top));
}

}  // namespace

double a_weighting(double frequency) { return response(frequency) / response(1000); }

double a_weighted_energy(const std::vector<double> &signal, double rate) {
  std::size_t length = 2;
  while (length < 2 * signal.size()) length *= 2;
  std::vector<double> padded = signal;
  padded.resize(length, 0.0);
  std::vector<std::complex<double>> spectrum;
  Eigen::FFT<double> transform;
  transform.fwd(spectrum, padded);
  double sum = 0;
  for (std::size_t k = 0; k <= length / 2; ++k) {
    const double weight = a_weighting(double(k) * rate / double(length));
    sum += (k == 0 || k == length / 2 ? 1 : 2) * std::norm(spectrum[k]) * weight * weight;
  }
  return sum / double(length) / rate;
}

}  // namespace stillbox
