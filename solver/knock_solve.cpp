// SPDX-License-Identifier: MIT
#include "solver/knock_solve.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "solver/damped_modes.h"
#include "solver/knock_samples.h"
#include "solver/left_out_modes.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

constexpr int loads_at_once = 32;

// p = i sqrt(lambda), lambda = (2 pi f)^2 (1 + i eta). What else takes energy from a mode, such as radiation, would be
// added to its loss factor here.
Complex pole_of(const DampedMode &mode) {
  const double omega = 2 * M_PI * mode.frequency;
  return Complex(0, 1) * omega * std::sqrt(Complex(1, mode.loss_factor));
}

// The modes at the points (points x modes) and over the walls.
void sample_modes(const Spectrum &spectrum, const std::vector<DampedMode> &modes, const SampleColumns &points,
                  const SampleColumns &walls, KnockModel &out) {
  const int count = int(modes.size());
  out.poles.resize(count);
  out.shapes.resize(points.cols(), count);
  out.volume.resize(walls.cols(), count);
  for (int k = 0; k < count; ++k) {
    out.poles[k] = pole_of(modes[k]);
    const auto sample = [&](const SampleColumns &columns) -> Eigen::VectorXcd {
      if (modes[k].shape.size() == 0) return (columns.transpose() * spectrum.elastic.vectors.col(k)).cast<Complex>();
      Eigen::VectorXcd values(columns.cols());
      values.real() = columns.transpose() * modes[k].shape.real();
      values.imag() = columns.transpose() * modes[k].shape.imag();
      return values;
    };
    out.shapes.col(k) = sample(points);
    out.volume.col(k) = sample(walls);
  }
  out.rigid = points.transpose() * spectrum.rigid_motions;
  out.rigid_volume = walls.transpose() * spectrum.rigid_motions;
}

void make_upper(const Eigen::MatrixXd &slopes, KnockModel &out) {
  const LeftOutModes left_out = left_out_modes(out.residual, slopes);
  out.upper_lambda = left_out.lambda;
  out.upper = out.residual * left_out.answers;
  out.upper_volume = out.residual_volume * left_out.answers;
  double loss = 0;
  for (const Complex &p : out.poles) loss += -(p * p).imag() / (-(p * p).real());
  out.upper_loss = out.poles.size() > 0 ? loss / double(out.poles.size()) : 0;
}

// What the modes left out do: fills residual, residual_volume and the slope.
void solve_residual(Model &m, const Spectrum &spectrum, const SampleColumns &points, const SampleColumns &walls,
                    const SolveOptions &options, KnockSolution &out) {
  const int count = int(points.cols());
  const double omega = 2 * M_PI * options.up_to;
  if (options.progress) options.progress("factorising for the modes left out");
  const auto factor = factor_shifted(m, -left_out_shift * omega * omega);
  const Eigen::MatrixXd &X = spectrum.elastic.vectors, &Z = spectrum.rigid_motions;
  const auto kept_part = [&](const Eigen::MatrixXd &x_part, const Eigen::MatrixXd &z_part) -> Eigen::MatrixXd {
    return X * x_part + Z * z_part;
  };
  out.model.residual.resize(count, count);
  out.model.residual_volume.resize(walls.cols(), count);
  Eigen::MatrixXd slopes(count, count);  // sum of x x / lambda^2
  for (int first = 0; first < count; first += loads_at_once) {
    const int n = std::min(loads_at_once, count - first);
    if (options.progress)
      options.progress("flexibility of the modes left out: " + std::to_string(first) + " of " + std::to_string(count));
    Eigen::MatrixXd u = points.middleCols(first, n);
    u -= multiply(m.system.mass, kept_part(X.transpose() * u, Z.transpose() * u));
    factor->solve(u);
    const Eigen::MatrixXd Mu = multiply(m.system.mass, u);
    const Eigen::MatrixXd x_part = X.transpose() * Mu, z_part = Z.transpose() * Mu;
    u -= kept_part(x_part, z_part);
    out.model.residual.middleCols(first, n) = points.transpose() * u;
    out.model.residual_volume.middleCols(first, n) = walls.transpose() * u;
    // M-orthogonal to the modes kept again: of Mu only what is left of them has to go, M is not needed anew.
    u = Mu - multiply(m.system.mass, kept_part(x_part, z_part));
    factor->solve(u);
    slopes.middleCols(first, n) = points.transpose() * u;
  }
  out.residual_slope = slopes.diagonal();
  make_upper(slopes, out.model);
}

}  // namespace

KnockSolution solve_knock(const Structure &s, const SolveOptions &options, const std::vector<KnockPoint> &points) {
  KnockSolution out;
  out.modes = solve_modes(s, options, [&](Model &m, const Spectrum &spectrum, const std::vector<DampedMode> &modes) {
    const SampleColumns at_points = point_columns(m, points);
    const WallSamples walls = wall_columns(m);
    out.model.walls = walls.names;
    out.model.wall_area = walls.area;
    sample_modes(spectrum, modes, at_points, walls.columns, out.model);
    solve_residual(m, spectrum, at_points, walls.columns, options, out);
  });
  out.model.case_name = s.case_name;
  out.model.variant_name = s.variant_name;
  out.model.points = points;
  out.model.up_to = options.up_to;
  return out;
}

double truncation_floor(const KnockSolution &solution, int r, int s, double frequency) {
  const double part = frequency / solution.model.up_to;
  if (part >= 1) return std::numeric_limits<double>::infinity();
  const double omega = 2 * M_PI * frequency;
  return omega * omega * part * part * std::sqrt(solution.residual_slope[r] * solution.residual_slope[s]) /
         (1 - part * part);
}

}  // namespace stillbox
