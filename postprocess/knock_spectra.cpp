// SPDX-License-Identifier: MIT
#include "postprocess/knock_spectra.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "postprocess/deadness.h"
#include "postprocess/ring_response.h"
#include "solver/knock_response.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr double pi = 3.14159265358979323846;

/// Integral over s from 0 to T of w(s) exp(z s), w = 0.42 - 0.5 cos(2 pi s / T) + 0.08 cos(4 pi s / T).
Complex window_transform(Complex z, double length) {
  const Complex turn(0, 2 * pi / length);
  const auto e = [&](Complex x) { return length * exponential_quotient(x * length); };
  return 0.42 * e(z) - 0.25 * (e(z + turn) + e(z - turn)) + 0.04 * (e(z + 2.0 * turn) + e(z - 2.0 * turn));
}

}  // namespace

Eigen::VectorXd mean_mobility(const KnockModel &model, const std::vector<int> &list, const Eigen::VectorXd &weights,
                              const Eigen::VectorXd &frequencies) {
  assert(weights.size() == Eigen::Index(list.size()));
  Eigen::VectorXd out(frequencies.size());
  constexpr Eigen::Index block = 256;
  for (Eigen::Index from = 0; from < frequencies.size(); from += block) {
    const Eigen::Index count = std::min(block, frequencies.size() - from);
    const Eigen::MatrixXcd mobility =
        drive_point_spectra(model, Motion::velocity, frequencies.segment(from, count), Losses::structural);
    for (Eigen::Index n = 0; n < count; ++n)
      out[from + n] = std::sqrt(weights.dot(mobility(list, Eigen::all).col(n).cwiseAbs2()));
  }
  return out;
}

Eigen::VectorXd peak_frequencies(const KnockModel &model, double low, double high, int per_octave) {
  assert(0 < low && low < high);
  std::vector<double> all;
  const int steps = std::max(1, int(std::ceil(per_octave * std::log2(high / low))));
  for (int n = 0; n <= steps; ++n) all.push_back(low * std::pow(high / low, double(n) / steps));
  for (Eigen::Index k = 0; k < model.poles.size(); ++k) {
    const RingMode mode = ring_mode(model.poles[k]);
    for (const double widths : {-4.0, -2.0, -1.0, -0.5, -0.25, 0.0, 0.25, 0.5, 1.0, 2.0, 4.0}) {
      const double f = mode.frequency * (1 + widths * mode.loss_factor / 2);
      if (f > low && f < high) all.push_back(f);
    }
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return Eigen::Map<Eigen::VectorXd>(all.data(), Eigen::Index(all.size()));
}

Eigen::MatrixXd decay_spectra(const KnockModel &model, const Eigen::VectorXd &weights, const KnockPulse &pulse,
                              double window, const Eigen::VectorXd &times, const Eigen::VectorXd &frequencies) {
  const RingModes ring = ring_modes(model);
  const Eigen::Index modes = ring.poles.size(), nt = times.size(), nf = frequencies.size();
  Eigen::MatrixXd out = Eigen::MatrixXd::Zero(nt, nf);
  if (modes == 0) return out;
  const Eigen::VectorXcd after = after_contact(ring, pulse).array() * ring.poles.array().square();
  // Mean over knocks and places of S conj(S): a quadratic form whose matrix is the same for all times and frequencies.
  const Eigen::MatrixXcd gram = ring.shapes.transpose() * weights.asDiagonal() * ring.shapes.conjugate();
  const Eigen::MatrixXcd form = gram.cwiseProduct(gram);
  Eigen::MatrixXcd windowed(modes, nf), decayed(modes, nt);
  for (Eigen::Index k = 0; k < modes; ++k) {
    for (Eigen::Index n = 0; n < nf; ++n)
      windowed(k, n) = window_transform(ring.poles[k] - Complex(0, 2 * pi * frequencies[n]), window);
    for (Eigen::Index j = 0; j < nt; ++j) decayed(k, j) = after[k] * std::exp(ring.poles[k] * times[j]);
  }
  const double scale = 2 / (0.42 * window) / std::sqrt(2.0);
  for (Eigen::Index j = 0; j < nt; ++j) {
    const Eigen::MatrixXcd z = decayed.col(j).asDiagonal() * windowed;
    const Eigen::MatrixXcd fz = form.transpose() * z;
    out.row(j) = scale * (fz.cwiseProduct(z.conjugate()).colwise().sum().real().array().max(0).sqrt());
  }
  return out;
}

}  // namespace stillbox
