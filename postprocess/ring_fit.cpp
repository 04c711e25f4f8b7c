// SPDX-License-Identifier: MIT
#include "postprocess/ring_fit.h"

#include <algorithm>
#include <cmath>

#include "solver/lapack.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using Poles = std::vector<Complex>;
using Stretches = std::vector<Eigen::VectorXcd>;

constexpr int most_lags = 80;

Eigen::MatrixXcd basis_of(const Poles &poles, double rate, Eigen::Index count) {
  Eigen::MatrixXcd basis(count, Eigen::Index(poles.size()));
  for (Eigen::Index j = 0; j < basis.cols(); ++j) {
    const Complex z = std::exp(poles[std::size_t(j)] / rate);
    Complex value = 1;
    for (Eigen::Index n = 0; n < count; ++n, value *= z) basis(n, j) = value;
  }
  return basis;
}

Eigen::Index samples_in(const Stretches &stretches) {
  Eigen::Index count = 0;
  for (const auto &y : stretches) count += y.size();
  return count;
}

double misfit_of(const Stretches &stretches, double rate, const Poles &poles) {
  double sum = 0;
  for (const auto &y : stretches) {
    if (poles.empty()) {
      sum += y.squaredNorm();
      continue;
    }
    const Eigen::MatrixXcd basis = basis_of(poles, rate, y.size());
    sum += (y - basis * basis.colPivHouseholderQr().solve(y)).squaredNorm();
  }
  return sum;
}

/// Normal equations of the real parameters sigma_1, omega_1, ... at `poles`, and the misfit.
struct Step {
  Eigen::MatrixXd matrix;
  Eigen::VectorXd right;
  Eigen::MatrixXcd amplitudes;
  Eigen::MatrixXd inverse_norms;  ///< diagonal of (basis^H basis)^-1, poles x stretches
  double misfit = 0;
};

Step step_at(const Stretches &stretches, double rate, const Poles &poles) {
  const auto p = Eigen::Index(poles.size());
  Step step;
  step.matrix = Eigen::MatrixXd::Zero(2 * p, 2 * p);
  step.right = Eigen::VectorXd::Zero(2 * p);
  step.amplitudes.resize(p, Eigen::Index(stretches.size()));
  step.inverse_norms.resize(p, Eigen::Index(stretches.size()));
  for (std::size_t k = 0; k < stretches.size(); ++k) {
    const Eigen::VectorXcd &y = stretches[k];
    const Eigen::MatrixXcd basis = basis_of(poles, rate, y.size());
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXcd> qr(basis);
    const Eigen::VectorXcd c = qr.solve(y);
    const Eigen::VectorXcd rest = y - basis * c;
    step.amplitudes.col(Eigen::Index(k)) = c;
    step.inverse_norms.col(Eigen::Index(k)) =
        (basis.adjoint() * basis).completeOrthogonalDecomposition().pseudoInverse().diagonal().real();
    step.misfit += rest.squaredNorm();
    // d y / d s_j = c_j t exp(s_j t), without what the amplitudes can take up.
    Eigen::MatrixXcd slope = basis;
    for (Eigen::Index n = 0; n < y.size(); ++n) slope.row(n) *= double(n) / rate;
    for (Eigen::Index j = 0; j < p; ++j) slope.col(j) *= c[j];
    slope -= basis * qr.solve(slope);
    const Eigen::MatrixXcd square = slope.adjoint() * slope;
    const Eigen::VectorXcd along = slope.adjoint() * rest;
    for (Eigen::Index a = 0; a < p; ++a) {
      // d / d sigma = -d / d s, d / d omega = i d / d s.
      step.right[2 * a] -= along[a].real();
      step.right[2 * a + 1] += (std::conj(Complex(0, 1)) * along[a]).real();
      for (Eigen::Index b = 0; b < p; ++b) {
        const Complex v = square(a, b);
        step.matrix(2 * a, 2 * b) += v.real();
        step.matrix(2 * a + 1, 2 * b + 1) += v.real();
        step.matrix(2 * a, 2 * b + 1) += (-Complex(0, 1) * v).real();
        step.matrix(2 * a + 1, 2 * b) += (Complex(0, 1) * v).real();
      }
    }
  }
  return step;
}

/// Poles that the next orders confirm.
Poles confirmed(const Poles &poles, const std::vector<Poles> &by_order, std::size_t order, double rate) {
  Poles kept;
  for (const Complex &s : poles) {
    int seen = 0, asked = 0;
    for (std::size_t o = order; o < std::min(order + 3, by_order.size()); ++o) {
      ++asked;
      const double room = 0.1 * std::abs(s.real()) + 0.005 * 2 * M_PI * rate;
      seen += std::any_of(by_order[o].begin(), by_order[o].end(),
                          [&](const Complex &other) { return std::abs(other - s) < room; });
    }
    if (seen >= std::min(2, asked)) kept.push_back(s);
  }
  return kept;
}

}  // namespace

std::vector<Poles> esprit_poles(const Stretches &stretches, double rate, int most) {
  Eigen::Index shortest = stretches.front().size();
  for (const auto &y : stretches) shortest = std::min(shortest, y.size());
  const Eigen::Index lags = std::min<Eigen::Index>(most_lags, std::max<Eigen::Index>(shortest / 2, 2));
  Eigen::MatrixXcd square = Eigen::MatrixXcd::Zero(lags, lags);
  for (const auto &y : stretches) {
    const Eigen::Index columns = y.size() - lags + 1;
    Eigen::MatrixXcd hankel(lags, columns);
    for (Eigen::Index c = 0; c < columns; ++c) hankel.col(c) = y.segment(c, lags);
    square += hankel * hankel.adjoint();
  }
  Eigen::VectorXd sizes;
  Eigen::MatrixXcd vectors;
  hermitian_eigenpairs(square, sizes, vectors);
  std::vector<Poles> result;
  for (Eigen::Index p = 1; p <= std::min<Eigen::Index>(most, lags - 1); ++p) {
    const Eigen::MatrixXcd space = vectors.rightCols(p);
    const Eigen::MatrixXcd shift = space.topRows(lags - 1).colPivHouseholderQr().solve(space.bottomRows(lags - 1));
    Eigen::VectorXcd values;
    Eigen::MatrixXcd unused;
    dense_eigenpairs(shift, values, unused);
    Poles poles;
    for (Eigen::Index j = 0; j < p; ++j) {
      const Complex z = values[j];
      const double size = std::abs(z);
      // A steady tone may come out as growing a little.
      if (size > 1e-3 && size < 1 + 0.5 / double(shortest)) poles.push_back(std::log(z) * rate);
    }
    result.push_back(poles);
  }
  return result;
}

RingFit refine_poles(const Stretches &stretches, double rate, const Poles &start, const std::vector<bool> &steady,
                     double colour, double quiet, int steps) {
  RingFit fit;
  fit.poles = start;
  fit.steady = steady;
  fit.steady.resize(start.size(), false);
  const auto p = Eigen::Index(start.size());
  for (std::size_t j = 0; j < start.size(); ++j)
    if (fit.steady[j]) fit.poles[j] = {0, fit.poles[j].imag()};
  if (p == 0) {
    fit.misfit = misfit_of(stretches, rate, {});
    fit.noise = fit.misfit / double(samples_in(stretches));
    return fit;
  }
  const auto held = [&](Step step) {
    for (Eigen::Index j = 0; j < p; ++j) {
      if (!fit.steady[std::size_t(j)]) continue;
      step.matrix.row(2 * j).setZero();
      step.matrix.col(2 * j).setZero();
      step.matrix(2 * j, 2 * j) = 1;
      step.right[2 * j] = 0;
    }
    return step;
  };
  Step now = held(step_at(stretches, rate, fit.poles));
  double damping = 1e-3;
  for (int i = 0; i < steps; ++i) {
    Eigen::MatrixXd matrix = now.matrix;
    matrix.diagonal() *= 1 + damping;
    const Eigen::VectorXd change = matrix.ldlt().solve(now.right);
    Poles next = fit.poles;
    for (Eigen::Index j = 0; j < p; ++j) next[std::size_t(j)] += Complex(-change[2 * j], change[2 * j + 1]);
    const bool is_sane = change.allFinite() && std::all_of(next.begin(), next.end(), [&](const Complex &s) {
                           return std::abs(s.imag()) < M_PI * rate && s.real() < 0.1 * rate && s.real() > -8 * rate;
                         });
    if (!is_sane) {
      if ((damping *= 10) > 1e6) break;
      continue;
    }
    const Step tried = held(step_at(stretches, rate, next));
    if (tried.misfit < now.misfit) {
      const bool is_done = now.misfit - tried.misfit < 1e-10 * now.misfit;
      fit.poles = next;
      now = tried;
      damping = std::max(damping / 10, 1e-9);
      if (is_done) break;
    } else if ((damping *= 10) > 1e6) {
      break;
    }
  }
  fit.misfit = now.misfit;
  fit.amplitudes = now.amplitudes;
  const double free = double(samples_in(stretches)) - double(p) * (1 + double(stretches.size()));
  // With few samples left the quiet before the knocks knows the noise better.
  fit.noise = std::max(now.misfit / std::max(free, 1.0), free < 20 ? quiet : 0);
  fit.covariance = colour * fit.noise / 2 * now.matrix.completeOrthogonalDecomposition().pseudoInverse();
  fit.amplitude_sd = (colour * fit.noise * now.inverse_norms).cwiseSqrt();
  return fit;
}

RingFit fit_ringing(const Stretches &stretches, double rate, double colour, double quiet, int most) {
  const std::vector<Poles> by_order = esprit_poles(stretches, rate, most);
  const double samples = double(samples_in(stretches)), independent = samples / colour;
  const double floor = 0.5 * quiet * samples;
  const auto length = [&](double misfit, std::size_t p) {
    return 2 * independent * std::log(std::max(misfit, floor) + 1e-300) +
           2 * double(p) * (1 + double(stretches.size())) * std::log(2 * independent);
  };
  std::vector<std::pair<double, std::size_t>> ranking;
  for (std::size_t o = 0; o < by_order.size(); ++o)
    ranking.emplace_back(length(misfit_of(stretches, rate, by_order[o]), by_order[o].size()), o);
  std::sort(ranking.begin(), ranking.end());
  double best = length(misfit_of(stretches, rate, {}), 0);
  RingFit chosen = refine_poles(stretches, rate, {}, {}, colour, quiet, 0);
  std::size_t order = 0;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, ranking.size()); ++i) {
    const std::size_t o = ranking[i].second;
    const RingFit fit = refine_poles(stretches, rate, by_order[o], {}, colour, quiet, 12);
    const double there = length(fit.misfit, fit.poles.size());
    if (there >= best) continue;
    best = there;
    chosen = fit;
    order = o + 1;
  }
  const Poles kept = confirmed(chosen.poles, by_order, order, rate);
  return refine_poles(stretches, rate, kept, {}, colour, quiet, 30);
}

}  // namespace stillbox
