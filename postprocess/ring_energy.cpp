// SPDX-License-Identifier: MIT
#include "postprocess/ring_energy.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace stillbox {
namespace {

const double nothing = std::numeric_limits<double>::quiet_NaN();

/// Slope of 10 lg E between two times, dB/s.
double slope(const RingEnergy &energy, double from, double to) {
  constexpr int count = 201;
  Eigen::VectorXd level(count), time(count);
  for (int n = 0; n < count; ++n) {
    time[n] = from + (to - from) * n / (count - 1);
    level[n] = 10 * std::log10(energy_after(energy, time[n]));
  }
  const Eigen::VectorXd t = time.array() - time.mean();
  return t.dot(level) / t.squaredNorm();
}

}  // namespace

RingEnergy ring_energy(const Eigen::VectorXcd &poles, const Eigen::MatrixXcd &products) {
  assert(products.rows() == poles.size() && products.cols() == poles.size());
  RingEnergy out{poles, -products};
  for (Eigen::Index k = 0; k < poles.size(); ++k)
    for (Eigen::Index l = 0; l < poles.size(); ++l) out.kernel(k, l) /= poles[k] + poles[l];
  return out;
}

RingEnergy part_of(const RingEnergy &all, const std::vector<Eigen::Index> &keep) {
  return {all.poles(keep), all.kernel(keep, keep)};
}

double energy_after(const RingEnergy &energy, double t) {
  if (energy.poles.size() == 0) return 0;
  const Eigen::VectorXcd u = (energy.poles * t).array().exp();
  // Not by BLAS: zgemv of OpenBLAS 0.3.21 reads beyond the end of a matrix of 6, 10, 14 ... rows on some processors.
  const Eigen::VectorXcd ku = energy.kernel.lazyProduct(u);
  return std::max(0.0, u.cwiseProduct(ku).sum().real());
}

double centre_time(const RingEnergy &energy) {
  const double whole = energy_after(energy, 0);
  if (!(whole > 0)) return nothing;
  // The integral of t v^2 is, by parts, that of E.
  double sum = 0;
  for (Eigen::Index k = 0; k < energy.poles.size(); ++k)
    for (Eigen::Index l = 0; l < energy.poles.size(); ++l)
      sum -= (energy.kernel(k, l) / (energy.poles[k] + energy.poles[l])).real();
  return sum / whole;
}

double time_until(const RingEnergy &energy, double part) {
  assert(part > 0 && part < 1);
  const double whole = energy_after(energy, 0);
  if (!(whole > 0)) return nothing;
  double low = 0, high = 1e-3;
  while (energy_after(energy, high) > part * whole && high < 1e6) {
    low = high;
    high *= 2;
  }
  for (int n = 0; n < 40; ++n) {
    const double middle = 0.5 * (low + high);
    (energy_after(energy, middle) > part * whole ? low : high) = middle;
  }
  return high;
}

DecayFit fit_decay(const RingEnergy &energy) {
  DecayFit fit;
  const double start = time_until(energy, std::pow(10, -0.5));
  if (!std::isfinite(start)) return {nothing, nothing, nothing, false};
  fit.t20 = -60 / slope(energy, start, time_until(energy, std::pow(10, -2.5)));
  fit.t30 = -60 / slope(energy, start, time_until(energy, std::pow(10, -3.5)));
  fit.curvature = fit.t30 / fit.t20 - 1;
  fit.bent = std::abs(fit.curvature) > 0.1;
  return fit;
}

}  // namespace stillbox
