// SPDX-License-Identifier: MIT
#include "solver/outside_interpolation.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr int candidates = 2000;

Eigen::RowVector3d middle_of(const SurfaceMesh &mesh) {
  return (mesh.nodes.colwise().maxCoeff() + mesh.nodes.colwise().minCoeff()) / 2;
}

struct Solved {
  ShapeSound sound;
  RadiationImpedance impedance;
};

Solved solve(const SurfaceMesh &mesh, const OutsideAir &air, const Eigen::MatrixXd &shapes,
             const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, double frequency) {
  const SurfaceSound s = solve_outside(mesh, air, frequency, shapes.cast<Complex>());
  Solved result;
  result.impedance = radiation_impedance(mesh, s, shapes);
  result.sound = {result.impedance.z, pressure_at(mesh, s, points), Eigen::VectorXd::Zero(shapes.cols())};
  if (points.rows() > 0) {
    const double farthest = (points.rowwise() - middle_of(mesh)).rowwise().norm().maxCoeff();
    for (int j = 0; j < int(shapes.cols()); ++j)
      result.sound.monopole[j] =
          std::abs(monopole_pressure(air, frequency, shapes.col(j).cwiseAbs().dot(mesh.areas), farthest));
  }
  return result;
}

// The even functions of k, one column: R / k^2, X / k, then the two parts of the transfer pressures.
Eigen::VectorXd to_even(const ShapeSound &s, const Eigen::VectorXd &distances, double k) {
  const Eigen::Index z = s.impedance.size(), t = s.transfer.size();
  Eigen::VectorXd even(2 * (z + t));
  even.head(z) = s.impedance.real().reshaped() / (k * k);
  even.segment(z, z) = s.impedance.imag().reshaped() / k;
  const Eigen::VectorXcd phase =
      distances.unaryExpr([&](double r) { return std::polar(1 / k, k * r) / Complex(0, 1); });
  const Eigen::MatrixXcd slow = phase.asDiagonal() * s.transfer;
  even.segment(2 * z, t) = slow.real().reshaped();
  even.tail(t) = slow.imag().reshaped() / k;
  return even;
}

ShapeSound from_even(const Eigen::VectorXd &even, int shapes, const Eigen::VectorXd &distances, double k) {
  const int points = int(distances.size());
  const Eigen::Index z = Eigen::Index(shapes) * shapes, t = Eigen::Index(points) * shapes;
  ShapeSound s;
  s.impedance.resize(shapes, shapes);
  s.impedance.real() = even.head(z).reshaped(shapes, shapes) * (k * k);
  s.impedance.imag() = even.segment(z, z).reshaped(shapes, shapes) * k;
  s.transfer.resize(points, shapes);
  s.transfer.real() = even.segment(2 * z, t).reshaped(points, shapes);
  s.transfer.imag() = even.tail(t).reshaped(points, shapes) * k;
  const Eigen::VectorXcd phase = distances.unaryExpr([&](double r) { return std::polar(k, -k * r) * Complex(0, 1); });
  s.transfer = phase.asDiagonal() * s.transfer;
  return s;
}

// k^2 scaled to an interval of length 4, whose products of distances neither grow nor shrink.
double place(const SoundSweep &s, double frequency) {
  return 4 * (frequency * frequency - s.low * s.low) / (s.high * s.high - s.low * s.low);
}

double next_frequency(const SoundSweep &s) {
  double best = s.high, most = -1;
  for (int i = 0; i <= candidates; ++i) {
    const double f = s.low + (s.high - s.low) * i / candidates;
    double product = 1;
    for (double solved : s.frequencies) product *= std::abs(place(s, f) - place(s, solved));
    if (product > most) {
      most = product;
      best = f;
    }
  }
  return best;
}

void add(SoundSweep &s, double frequency, const Eigen::VectorXd &even) {
  const int n = int(s.frequencies.size());
  s.values.conservativeResize(even.size(), n + 1);
  s.values.col(n) = even;
  s.weights.conservativeResize(n + 1);
  s.weights[n] = 1;
  for (int j = 0; j < n; ++j) {
    const double d = place(s, s.frequencies[j]) - place(s, frequency);
    s.weights[j] /= d;
    s.weights[n] /= -d;
  }
  s.frequencies.push_back(frequency);
}

}  // namespace

ShapeSound solve_shapes(const SurfaceMesh &mesh, const OutsideAir &air, const Eigen::MatrixXd &shapes,
                        const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, double frequency) {
  return solve(mesh, air, shapes, points, frequency).sound;
}

double largest_difference(const ShapeSound &a, const ShapeSound &b) {
  double worst = 0;
  const Eigen::VectorXd size = a.impedance.diagonal().cwiseAbs().cwiseSqrt();
  for (int j = 0; j < a.impedance.cols(); ++j)
    for (int i = 0; i < a.impedance.rows(); ++i)
      if (size[i] * size[j] > 0)
        worst = std::max(worst, std::abs(a.impedance(i, j) - b.impedance(i, j)) / (size[i] * size[j]));
  for (int j = 0; j < a.transfer.cols() && a.transfer.rows() > 0; ++j) {
    const double largest = std::max(a.transfer.col(j).cwiseAbs().maxCoeff(), 0.1 * a.monopole[j]);
    if (largest > 0) worst = std::max(worst, (a.transfer.col(j) - b.transfer.col(j)).cwiseAbs().maxCoeff() / largest);
  }
  return worst;
}

SoundSweep sweep_outside(const SurfaceMesh &mesh, const OutsideAir &air, const Eigen::MatrixXd &shapes,
                         const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, double low, double high,
                         const SweepOptions &options) {
  assert(low > 0 && high > low && std::isfinite(high));
  SoundSweep s;
  s.low = low;
  s.high = high;
  s.air = air;
  s.shapes = int(shapes.cols());
  s.distances = (points.rowwise() - middle_of(mesh)).rowwise().norm();
  s.error = std::numeric_limits<double>::infinity();
  while (int(s.frequencies.size()) < options.most_solves) {
    const double f = s.frequencies.empty() ? high : next_frequency(s);
    const Solved solved = solve(mesh, air, shapes, points, f);
    s.monopole_per_hz = solved.sound.monopole / f;
    s.mesh_asymmetry = std::max(s.mesh_asymmetry, solved.impedance.asymmetry);
    for (int i = 0; i < s.shapes; ++i)
      if (solved.impedance.z(i, i).real() > 0.5 * std::abs(solved.impedance.z(i, i)))
        s.mesh_energy = std::max(s.mesh_energy, std::abs(solved.impedance.energy[i]));
    const bool can_predict = s.frequencies.size() >= 2;
    s.held_out.push_back(can_predict ? largest_difference(solved.sound, sound_at(s, f))
                                     : std::numeric_limits<double>::quiet_NaN());
    add(s, f, to_even(solved.sound, s.distances, wave_number(air, f)));
    if (s.held_out.size() >= 4) s.error = std::max(s.held_out.back(), s.held_out[s.held_out.size() - 2]);
    if (options.progress) options.progress(int(s.frequencies.size()), s.error);
    if (int(s.frequencies.size()) >= options.least_solves && s.error <= options.tolerance) break;
  }
  return s;
}

ShapeSound sound_at(const SoundSweep &s, double frequency) {
  assert(frequency >= s.low * (1 - 1e-9) && frequency <= s.high * (1 + 1e-9) && !s.frequencies.empty());
  const double x = place(s, frequency);
  Eigen::VectorXd share(s.weights.size());
  for (int j = 0; j < share.size(); ++j) {
    const double d = x - place(s, s.frequencies[j]);
    if (std::abs(d) < 1e-12) {
      share = Eigen::VectorXd::Unit(share.size(), j);
      break;
    }
    share[j] = s.weights[j] / d;
  }
  ShapeSound sound = from_even(s.values * (share / share.sum()), s.shapes, s.distances, wave_number(s.air, frequency));
  sound.monopole = s.monopole_per_hz * frequency;
  return sound;
}

}  // namespace stillbox
