// SPDX-License-Identifier: MIT
#include "solver/knock_response.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int instants_at_once = 512;

// What follows one force: residues A (responses x modes), rigid and residual parts per response. Several forces are
// stacked below each other.
struct Paths {
  MatrixXcd residues;
  VectorXd rigid, residual;
  MatrixXd upper;
};

MatrixXcd residues_of(const KnockModel &m, const MatrixXcd &responses, const Eigen::RowVectorXcd &driven) {
  return responses * (driven.array() / (2.0 * m.poles.transpose().array())).matrix().asDiagonal();
}

MatrixXd upper_of(const KnockModel &m, const MatrixXd &responses, int driven) {
  if (m.upper_lambda.size() == 0) return MatrixXd(responses.rows(), 0);
  return responses * m.upper.row(driven).asDiagonal();
}

Paths paths_to_points(const KnockModel &m, int driven) {
  return {residues_of(m, m.shapes, m.shapes.row(driven)), m.rigid * m.rigid.row(driven).transpose(),
          m.residual.col(driven), upper_of(m, m.upper, driven)};
}

Paths paths_to_walls(const KnockModel &m, int driven) {
  return {residues_of(m, m.volume, m.shapes.row(driven)), m.rigid_volume * m.rigid.row(driven).transpose(),
          m.residual_volume.col(driven), upper_of(m, m.upper_volume, driven)};
}

Paths paths_to_themselves(const KnockModel &m) {
  return {m.shapes.cwiseProduct(m.shapes) * (0.5 * m.poles.cwiseInverse()).asDiagonal(),
          m.rigid.rowwise().squaredNorm(), m.residual.diagonal(),
          m.upper_lambda.size() > 0 ? MatrixXd(m.upper.cwiseAbs2()) : MatrixXd(m.shapes.rows(), 0)};
}

MatrixXcd spectra(const KnockModel &m, const Paths &paths, Motion motion, const VectorXd &frequencies,
                  Losses losses = Losses::ringing) {
  const int modes = int(m.poles.size()), n = int(frequencies.size());
  const int order = int(motion);  // of the derivative
  MatrixXcd up(modes, n), down(modes, n);
  Eigen::RowVectorXcd rigid(n), residual(n);
  for (int f = 0; f < n; ++f) {
    assert(frequencies[f] > 0);
    const Complex iw(0, 2 * M_PI * frequencies[f]);
    residual[f] = std::pow(iw, order);
    rigid[f] = std::pow(iw, order - 2);
    for (int k = 0; k < modes; ++k) {
      up(k, f) = residual[f] / (iw - m.poles[k]);
      down(k, f) =
          losses == Losses::ringing ? residual[f] / (iw - std::conj(m.poles[k])) : -residual[f] / (iw + m.poles[k]);
    }
  }
  MatrixXcd result = losses == Losses::ringing ? MatrixXcd(paths.residues * up + paths.residues.conjugate() * down)
                                               : MatrixXcd(paths.residues * (up + down));
  if (paths.upper.cols() > 0) {
    MatrixXcd change(paths.upper.cols(), n);
    for (int f = 0; f < n; ++f)
      for (int j = 0; j < change.rows(); ++j) {
        const double lambda = m.upper_lambda[j], omega = 2 * M_PI * frequencies[f];
        change(j, f) = residual[f] * (1.0 / (lambda * Complex(1, m.upper_loss) - omega * omega) - 1 / lambda);
      }
    result += paths.upper.cast<Complex>() * change;
  }
  result += paths.rigid.cast<Complex>() * rigid + paths.residual.cast<Complex>() * residual;
  return result;
}

// Instants x (2 modes + 2): for each mode Re and -Im of the motion of exp(p t) under the pulse, then what multiplies
// the rigid and the residual part. The knock's minus is in it.
MatrixXd pulse_basis(const KnockModel &m, const KnockPulse &pulse, Motion motion, double rate, int first, int count,
                     bool with_rigid) {
  const int modes = int(m.poles.size());
  MatrixXd basis = MatrixXd::Zero(count, 2 * modes + 2);
  for (int k = 0; k < modes; ++k) {
    const Complex p = m.poles[k], step = std::exp(p / rate);
    Complex after = 0;  // the integral after contact, from instant to instant; taken anew at each run's first one
    for (int j = 0; j < count; ++j) {
      const double t = (first + j) / rate;
      const bool is_after = t > pulse.contact;
      const Complex integral = is_after && after != 0.0 ? after * step : pulse_on_pole(pulse, p, t);
      if (is_after) after = integral;
      const double force = is_after ? 0 : pulse_force(pulse, t), slope = is_after ? 0 : pulse_slope(pulse, t);
      Complex value = integral;
      if (motion == Motion::velocity) value = p * integral + force;
      if (motion == Motion::acceleration) value = p * p * integral + p * force + slope;
      basis(j, 2 * k) = -2 * value.real();
      basis(j, 2 * k + 1) = 2 * value.imag();
    }
  }
  const double a = M_PI / pulse.contact;
  for (int j = 0; j < count; ++j) {
    const double t = (first + j) / rate, within = std::min(t, pulse.contact);
    const double force = pulse_force(pulse, t);
    if (motion == Motion::displacement) basis(j, 2 * modes + 1) = -force;
    if (!with_rigid) continue;
    // Momentum and its integral; afterwards a steady drift.
    const double momentum = pulse.peak / a * (1 - std::cos(a * within));
    const double path = pulse.peak / a * (within - std::sin(a * within) / a) + momentum * (t - within);
    basis(j, 2 * modes) = -(motion == Motion::displacement ? path : motion == Motion::velocity ? momentum : force);
  }
  return basis;
}

// (2 modes + 2) x paths, to go with the basis.
MatrixXd basis_weights(const Paths &paths) {
  const int modes = int(paths.residues.cols());
  MatrixXd weights(2 * modes + 2, paths.residues.rows());
  for (int k = 0; k < modes; ++k) {
    weights.row(2 * k) = paths.residues.col(k).real().transpose();
    weights.row(2 * k + 1) = paths.residues.col(k).imag().transpose();
  }
  weights.row(2 * modes) = paths.rigid.transpose();
  weights.row(2 * modes + 1) = paths.residual.transpose();
  return weights;
}

MatrixXd response(const KnockModel &m, const Paths &paths, const KnockPulse &pulse, Motion motion, const TimeGrid &grid,
                  bool with_rigid) {
  const MatrixXd weights = basis_weights(paths);
  MatrixXd result(grid.count, weights.cols());
  for (int first = 0; first < grid.count; first += instants_at_once) {
    const int count = std::min(instants_at_once, grid.count - first);
    result.middleRows(first, count) = pulse_basis(m, pulse, motion, grid.rate, first, count, with_rigid) * weights;
  }
  return result;
}

}  // namespace

MatrixXcd transfer_spectra(const KnockModel &m, Motion motion, int driven, const VectorXd &frequencies, Losses losses) {
  return spectra(m, paths_to_points(m, driven), motion, frequencies, losses);
}

MatrixXcd drive_point_spectra(const KnockModel &m, Motion motion, const VectorXd &frequencies, Losses losses) {
  return spectra(m, paths_to_themselves(m), motion, frequencies, losses);
}

MatrixXcd volume_spectra(const KnockModel &m, Motion motion, int driven, const VectorXd &frequencies) {
  return spectra(m, paths_to_walls(m, driven), motion, frequencies);
}

MatrixXd knock_response(const KnockModel &m, const KnockPulse &pulse, Motion motion, int driven, const TimeGrid &grid,
                        bool with_rigid) {
  return response(m, paths_to_points(m, driven), pulse, motion, grid, with_rigid);
}

MatrixXd knock_volume_response(const KnockModel &m, const KnockPulse &pulse, Motion motion, int driven,
                               const TimeGrid &grid, bool with_rigid) {
  return response(m, paths_to_walls(m, driven), pulse, motion, grid, with_rigid);
}

void grid_knock(const KnockModel &m, const KnockPulse &pulse, const TimeGrid &grid,
                const std::function<void(const GridKnockBlock &)> &use, bool with_rigid) {
  const int points = int(m.points.size()), walls = int(m.walls.size());
  const Eigen::MatrixXf to_itself = basis_weights(paths_to_themselves(m)).cast<float>();
  Eigen::MatrixXf to_walls(to_itself.rows(), Eigen::Index(walls) * points);
  for (int s = 0; s < points; ++s) {
    const MatrixXd weights = basis_weights(paths_to_walls(m, s));
    for (int w = 0; w < walls; ++w) to_walls.col(Eigen::Index(w) * points + s) = weights.col(w).cast<float>();
  }
  GridKnockBlock block;
  for (block.first = 0; block.first < grid.count; block.first += instants_at_once) {
    const int count = std::min(instants_at_once, grid.count - block.first);
    const Eigen::MatrixXf basis =
        pulse_basis(m, pulse, Motion::acceleration, grid.rate, block.first, count, with_rigid).cast<float>();
    block.drive.noalias() = basis * to_itself;
    block.volume.noalias() = basis * to_walls;
    use(block);
  }
}

VectorXd ring_amplitudes(const KnockModel &m, const KnockPulse &pulse, int driven, int response) {
  VectorXd amplitudes(m.poles.size());
  for (int k = 0; k < m.poles.size(); ++k) {
    const Complex p = m.poles[k];
    amplitudes[k] = std::abs(m.shapes(response, k) * m.shapes(driven, k) * p * pulse_on_pole(pulse, p, pulse.contact));
  }
  return amplitudes;
}

}  // namespace stillbox
