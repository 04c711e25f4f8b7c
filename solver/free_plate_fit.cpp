// SPDX-License-Identifier: MIT
#include "solver/free_plate_fit.h"
#include "solver/lapack.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace stillbox {
namespace {

constexpr std::size_t most_tones = 20;
constexpr int most_steps = 60;

PlateModuli moduli_of(const Eigen::VectorXd &logs, const PlateFitOptions &o) {
  PlateModuli m;
  m.nu_xy = o.nu_xy;
  m.ex = std::exp(logs[0]);
  m.ey = o.orthotropic ? std::exp(logs[1]) : m.ex;
  m.gxy = o.orthotropic ? std::exp(logs[2]) : m.ex / (2 * (1 + o.nu_xy));
  m.gxz = o.ratio_xz * m.ex;
  m.gyz = o.ratio_yz * m.ey;
  return m;
}

/// d ln f / d parameters.
Eigen::VectorXd slope_of(const PlateMode &mode, const PlateFitOptions &o) {
  const auto &s = mode.sensitivity;
  if (!o.orthotropic) return Eigen::VectorXd::Constant(1, s.sum());
  return Eigen::Vector3d(s[0] + s[3], s[1] + s[4], s[2]);
}

/// For every tone the number of its mode.
std::vector<std::size_t> paired(const std::vector<PlateMode> &modes, const std::vector<PlateTone> &tones) {
  std::vector<std::size_t> pairs(tones.size(), modes.size());
  std::vector<char> taken(modes.size(), 0);
  std::vector<char> done(tones.size(), 0);
  for (std::size_t round = 0; round < tones.size(); ++round) {  // the surest label first
    double best = -1;
    std::size_t best_tone = 0, best_mode = 0;
    for (std::size_t t = 0; t < tones.size(); ++t) {
      if (done[t] || tones[t].nodes_x < 0) continue;
      for (std::size_t m = 0; m < modes.size(); ++m) {
        if (taken[m] || tones[t].nodes_x >= modes[m].shares.rows() || tones[t].nodes_y >= modes[m].shares.cols())
          continue;
        const double share = modes[m].shares(tones[t].nodes_x, tones[t].nodes_y);
        if (share <= best) continue;
        best = share;
        best_tone = t;
        best_mode = m;
      }
    }
    if (best < 0) break;
    done[best_tone] = 1;
    taken[best_mode] = 1;
    pairs[best_tone] = best_mode;
  }
  std::vector<std::size_t> order;
  for (std::size_t t = 0; t < tones.size(); ++t)
    if (!done[t]) order.push_back(t);
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return tones[a].frequency < tones[b].frequency; });
  std::size_t next = 0;
  for (const std::size_t t : order) {
    while (next < modes.size() && taken[next]) ++next;
    if (next < modes.size()) pairs[t] = next++;
  }
  return pairs;
}

struct State {
  Eigen::VectorXd logs, rest;
  Eigen::MatrixXd slopes;
  std::vector<PlateMode> modes;
  std::vector<std::size_t> pairs;
  double chi_square = 0;
};

State state_at(const FreePlate &plate, const std::vector<PlateTone> &tones, const PlateFitOptions &o,
               const Eigen::VectorXd &logs, int degree) {
  State s;
  s.logs = logs;
  s.modes = plate_modes(plate, moduli_of(logs, o), int(tones.size()) + 6, degree);
  s.pairs = paired(s.modes, tones);
  s.rest.resize(Eigen::Index(tones.size()));
  s.slopes.resize(Eigen::Index(tones.size()), logs.size());
  for (std::size_t t = 0; t < tones.size(); ++t) {
    const PlateMode &mode = s.modes.at(s.pairs[t]);
    const auto row = Eigen::Index(t);
    s.rest[row] = (tones[t].frequency - mode.frequency) / tones[t].sd;
    s.slopes.row(row) = mode.frequency / tones[t].sd * slope_of(mode, o).transpose();
  }
  s.chi_square = s.rest.squaredNorm();
  return s;
}

State settle(const FreePlate &plate, const std::vector<PlateTone> &tones, const PlateFitOptions &o, State now,
             int degree, bool &settled) {
  double damping = 1e-3;
  settled = false;
  for (int i = 0; i < most_steps && !settled; ++i) {
    Eigen::MatrixXd matrix = now.slopes.transpose() * now.slopes;
    matrix.diagonal() *= 1 + damping;
    Eigen::VectorXd change = matrix.ldlt().solve(now.slopes.transpose() * now.rest);
    if (!change.allFinite()) break;
    const double size = change.cwiseAbs().maxCoeff();
    if (size > 0.5) change *= 0.5 / size;
    State tried;
    try {
      tried = state_at(plate, tones, o, now.logs + change, degree);
    } catch (const std::domain_error &) {  // Poisson's ratio too large for these moduli
      damping *= 10;
      continue;
    }
    if (tried.chi_square <= now.chi_square) {
      settled = size < 1e-7 || now.chi_square - tried.chi_square < 1e-9 * (1 + tried.chi_square);
      now = tried;
      damping = std::max(damping / 10, 1e-10);
    } else {
      settled = size < 1e-7;
      damping *= 10;
    }
  }
  return now;
}

void check_tones(const std::vector<PlateTone> &tones, const PlateFitOptions &o) {
  const std::size_t least = o.orthotropic ? 3 : 1;
  if (tones.size() < least || tones.size() > most_tones)
    throw std::domain_error(std::to_string(tones.size()) + " tones; allowed " + std::to_string(least) + " .. " +
                            std::to_string(most_tones));
  for (std::size_t t = 0; t < tones.size(); ++t) {
    if (!(tones[t].frequency > 0) || !(tones[t].sd > 0))
      throw std::domain_error("a tone needs a frequency and sd above 0");
    if (tones[t].nodes_x < 0) continue;
    if (tones[t].nodes_x + tones[t].nodes_y < 2 || tones[t].nodes_y < 0 || tones[t].nodes_x > 8 || tones[t].nodes_y > 8)
      throw std::domain_error("a mode has 2 nodal lines and more in all, 0 .. 8 in each direction");
    for (std::size_t u = 0; u < t; ++u)
      if (tones[u].nodes_x == tones[t].nodes_x && tones[u].nodes_y == tones[t].nodes_y)
        throw std::domain_error("two tones have the same label");
  }
}

/// From thin strips and the twist of a thin plate: f(2,0) = 1.028 h / L^2 sqrt(E / rho), f(1,1) = h / (pi L W)
/// sqrt(12 G / rho) (one-term Ritz, w = x y, 5 % high for a square isotropic plate); good enough to start from.
Eigen::Vector3d start_from(const FreePlate &plate, double f20, double f11, double f02) {
  const double rho = plate.mass / (plate.length * plate.width * plate.thickness), h = plate.thickness;
  const double twist = f11 * M_PI * plate.length * plate.width / h;
  return {std::log(rho * std::pow(f20 * plate.length * plate.length / (1.028 * h), 2)),
          std::log(rho * std::pow(f02 * plate.width * plate.width / (1.028 * h), 2)),
          std::log(rho * twist * twist / 12)};
}

std::vector<Eigen::VectorXd> starts(const FreePlate &plate, const std::vector<PlateTone> &tones,
                                    const PlateFitOptions &o) {
  std::vector<double> sorted;
  for (const PlateTone &t : tones) sorted.push_back(t.frequency);
  std::sort(sorted.begin(), sorted.end());
  std::array<double, 3> named{0, 0, 0};
  for (const PlateTone &t : tones) {
    if (t.nodes_x == 2 && t.nodes_y == 0) named[0] = t.frequency;
    if (t.nodes_x == 1 && t.nodes_y == 1) named[1] = t.frequency;
    if (t.nodes_x == 0 && t.nodes_y == 2) named[2] = t.frequency;
  }
  std::vector<Eigen::VectorXd> result;
  std::array<std::size_t, 3> order{0, 1, 2};
  do {
    std::array<double, 3> f{};
    for (std::size_t i = 0; i < 3; ++i) f[i] = named[i] > 0 ? named[i] : sorted[std::min(order[i], sorted.size() - 1)];
    const Eigen::Vector3d logs = start_from(plate, f[0], f[1], f[2]);
    Eigen::VectorXd start = logs;
    if (!o.orthotropic) start = Eigen::VectorXd::Constant(1, (logs[0] + logs[1]) / 2);
    const bool is_new = std::none_of(result.begin(), result.end(),
                                     [&](const Eigen::VectorXd &old) { return (old - start).norm() < 1e-9; });
    // A ratio of moduli beyond 100 is no board.
    if (is_new && (!o.orthotropic || std::abs(logs[0] - logs[1]) < std::log(100.0))) result.push_back(start);
  } while (std::next_permutation(order.begin(), order.end()));
  if (result.empty()) result.push_back(start_from(plate, sorted[0], sorted[0], sorted[0]));
  return result;
}

Eigen::MatrixXd covariance_of(const State &s, int freedom) {
  const Eigen::MatrixXd square = s.slopes.transpose() * s.slopes;
  const SymmetricPairs eigen = symmetric_eigenpairs(square);
  Eigen::MatrixXd result = Eigen::MatrixXd::Zero(square.rows(), square.cols());
  for (Eigen::Index i = 0; i < square.rows(); ++i) {
    // What no tone tells is taken as known within a factor of e.
    const double value = std::max(eigen.values[i], 1.0);
    result += eigen.vectors.col(i) * eigen.vectors.col(i).transpose() / value;
  }
  return result * std::max(1.0, freedom > 0 ? s.chi_square / freedom : 1.0);
}

}  // namespace

PlateFit fit_plate(const FreePlate &plate, const std::vector<PlateTone> &tones, const PlateFitOptions &options) {
  check_tones(tones, options);
  PlateFit fit;
  State best;
  best.chi_square = std::numeric_limits<double>::infinity();
  const int coarse = std::min(options.coarse_degree, options.degree);
  for (const Eigen::VectorXd &start : starts(plate, tones, options)) {
    try {
      bool settled = false;
      const State end = settle(plate, tones, options, state_at(plate, tones, options, start, coarse), coarse, settled);
      if (end.chi_square >= best.chi_square) continue;
      best = end;
      fit.settled = settled;
    } catch (const std::domain_error &) {  // this start cannot be; another may
    }
  }
  if (!std::isfinite(best.chi_square))
    throw std::domain_error("no moduli fit: check the sizes, the mass, Poisson's ratio and the tones");
  best = settle(plate, tones, options, state_at(plate, tones, options, best.logs, options.degree), options.degree,
                fit.settled);
  fit.moduli = moduli_of(best.logs, options);
  fit.chi_square = best.chi_square;
  fit.freedom = int(tones.size()) - int(best.logs.size());
  fit.covariance = covariance_of(best, fit.freedom);
  for (std::size_t t = 0; t < tones.size(); ++t) {
    const PlateMode &mode = best.modes[best.pairs[t]];
    fit.pairs.push_back({tones[t], mode.frequency, mode.nodes_x, mode.nodes_y, mode.purity});
  }
  return fit;
}

Eigen::MatrixXd plate_covariance(const FreePlate &plate, const std::vector<PlateTone> &tones,
                                 const PlateFitOptions &options, const PlateFit &fit, const PlateSpread &spread) {
  Eigen::VectorXd logs = Eigen::VectorXd::Constant(1, std::log(fit.moduli.ex));
  if (options.orthotropic)
    logs = Eigen::Vector3d(std::log(fit.moduli.ex), std::log(fit.moduli.ey), std::log(fit.moduli.gxy));
  Eigen::MatrixXd result = fit.covariance;
  const State here = state_at(plate, tones, options, logs, options.degree);
  const auto add = [&](const FreePlate &moved, const PlateFitOptions &with) {
    const State there = state_at(moved, tones, with, logs, options.degree);
    const Eigen::MatrixXd square = there.slopes.transpose() * there.slopes;
    const Eigen::VectorXd change = square.ldlt().solve(there.slopes.transpose() * (there.rest - here.rest));
    if (change.allFinite()) result += change * change.transpose();
  };
  const std::array<std::pair<double FreePlate::*, double>, 4> moves{{{&FreePlate::length, spread.length},
                                                                     {&FreePlate::width, spread.width},
                                                                     {&FreePlate::thickness, spread.thickness},
                                                                     {&FreePlate::mass, spread.mass}}};
  for (const auto &[member, by] : moves) {
    if (!(by > 0)) continue;
    FreePlate moved = plate;
    moved.*member += by;
    add(moved, options);
  }
  if (spread.shear_ratio > 0) {
    PlateFitOptions softer = options;
    softer.ratio_xz *= 1 - spread.shear_ratio;
    softer.ratio_yz *= 1 - spread.shear_ratio;
    add(plate, softer);
  }
  return result;
}

}  // namespace stillbox
