// SPDX-License-Identifier: MIT
#include "solver/coupled_modes.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/lining.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

constexpr double most_loss = 2;                // loss factor of what still counts as an oscillation
constexpr int few_steps = 5, many_steps = 40;  // in which losses are brought in
constexpr int most_rounds = 30;
constexpr double settled = 1e-9, on_the_way = 1e-3;  // relative change of w

struct Motion {
  Complex w;
  Eigen::VectorXcd y;
  double residual = 0;
  bool found = true;
};

// Newton's method on w with the eigenvector by inverse iteration.
bool refine(const CoupledSystem &c, double t, double tolerance, Motion &m) {
  Eigen::MatrixXcd slope;
  for (int round = 0; round < most_rounds; ++round) {
    const Eigen::MatrixXcd T = coupled_matrix(c, m.w, t, slope);
    Eigen::VectorXcd next = T.partialPivLu().solve(slope * m.y);
    if (!next.allFinite()) return true;  // w is an eigenvalue to working precision
    next.normalize();
    const Complex step = (next.transpose() * T * next).value() / (next.transpose() * slope * next).value();
    m.y = next;
    m.w -= step;
    if (!(std::abs(m.w) > 0) || !std::isfinite(std::abs(m.w))) return false;
    if (std::abs(step) < tolerance * std::abs(m.w)) {
      if (tolerance > settled) return true;
      m.residual = (coupled_matrix(c, m.w, t, slope) * m.y).cwiseAbs().maxCoeff() / m.y.cwiseAbs().maxCoeff();
      return true;
    }
  }
  return false;
}

// From no loss to all of it; false when the motion is lost on the way.
bool follow_losses(const CoupledSystem &c, int steps, Motion &m) {
  for (int step = 1; step <= steps; ++step)
    if (!refine(c, std::pow(double(step) / steps, 2), step < steps ? on_the_way : settled, m)) return false;
  return true;
}

bool meets_another(const std::vector<Motion> &motions, std::size_t i) {
  for (std::size_t j = 0; j < motions.size(); ++j)
    if (j != i && std::abs(motions[j].w - motions[i].w) < 1e-6 * std::abs(motions[i].w) &&
        std::abs(motions[j].y.dot(motions[i].y)) > 0.999)
      return true;
  return false;
}

std::vector<int> follow(const Eigen::MatrixXd &share) {  // wanted x modes
  std::vector<int> taken(std::size_t(share.rows()), -1);
  std::vector<bool> used(std::size_t(share.cols()), false);
  std::vector<std::pair<double, std::pair<int, int>>> list;
  for (int i = 0; i < share.rows(); ++i)
    for (int m = 0; m < share.cols(); ++m) list.push_back({-share(i, m), {i, m}});
  std::sort(list.begin(), list.end());
  for (const auto &[value, pair] : list) {
    if (-value < 0.05) break;
    if (taken[pair.first] >= 0 || used[pair.second]) continue;
    taken[pair.first] = pair.second;
    used[pair.second] = true;
  }
  return taken;
}

template <class Share>
Eigen::MatrixXd shares(const std::vector<CoupledMode> &modes, int rows, Share share) {
  Eigen::MatrixXd all(rows, Eigen::Index(modes.size()));
  for (std::size_t m = 0; m < modes.size(); ++m) all.col(Eigen::Index(m)) = share(modes[m]).head(rows);
  return all;
}

}  // namespace

std::vector<CoupledMode> coupled_modes(const CoupledSystem &c, double up_to) {
  const FreeMotions free = free_motions(c, 2 * M_PI * up_to);
  const auto walls = c.wall_lambda.size(), ports = c.port_coupling.cols(), shapes = c.air->frequencies.size();
  const bool lossless = c.air->regions.size() == 1 && ports == 0 && (walls == 0 || c.wall_loss.maxCoeff() <= 0);
  std::vector<Motion> motions;
  for (Eigen::Index i = 0; i < free.w.size(); ++i) {
    motions.push_back({free.w[i], free.y.col(i).cast<Complex>()});
    if (!lossless) motions.back().found = follow_losses(c, few_steps, motions.back());
  }
  // Two that end in the same motion were followed in steps too long for one of them.
  if (!lossless)
    for (std::size_t i = 0; i < motions.size(); ++i) {
      if (!meets_another(motions, i)) continue;
      Motion again{free.w[Eigen::Index(i)], free.y.col(Eigen::Index(i)).cast<Complex>()};
      again.found = follow_losses(c, many_steps, again);
      motions[i] = again;
    }
  std::vector<CoupledMode> modes;
  for (std::size_t m = 0; m < motions.size(); ++m) {
    const Motion &motion = motions[m];
    const auto i = Eigen::Index(m);
    CoupledMode mode;
    const Complex w2 = motion.w * motion.w;
    mode.frequency = std::sqrt(std::max(0.0, w2.real())) / (2 * M_PI);
    mode.loss_factor = w2.imag() / w2.real();
    mode.decay_time =
        motion.w.imag() > 0 ? std::log(1000.0) / motion.w.imag() : std::numeric_limits<double>::infinity();
    mode.damped_away = !motion.found || !(w2.real() > 0) || mode.loss_factor > most_loss;
    mode.undamped_frequency = free.w[i] / (2 * M_PI);
    // Kinetic energy: (w q)^2, m (w x)^2 and a_i^2 k_i^2 / (rho w^2), that is b_i^2 (w_i / w)^2.
    Eigen::VectorXd share = motion.y.cwiseAbs2();
    share.tail(shapes).array() *= (2 * M_PI * c.air->frequencies.array() / std::abs(motion.w)).square();
    share /= share.sum();
    mode.wall_share = share.head(walls);
    mode.port_share = share.segment(walls, ports);
    mode.air_share = share.tail(shapes);
    mode.residual = motion.residual;
    mode.separate = mode.damped_away || lossless || !meets_another(motions, m);
    modes.push_back(mode);
  }
  return modes;
}

std::vector<int> follow_walls(const std::vector<CoupledMode> &modes, int walls) {
  return follow(shares(modes, walls, [](const CoupledMode &m) -> const Eigen::VectorXd & { return m.wall_share; }));
}

std::vector<int> follow_standing(const std::vector<CoupledMode> &modes, const InsideAir &air) {
  return follow(
      shares(modes, air.standing, [](const CoupledMode &m) -> const Eigen::VectorXd & { return m.air_share; }));
}

std::vector<int> follow_ports(const std::vector<CoupledMode> &modes, int ports) {
  return follow(shares(modes, ports, [](const CoupledMode &m) -> const Eigen::VectorXd & { return m.port_share; }));
}

std::vector<Coincidence> coincidences(const InsideAir &air, const Eigen::VectorXd &standing_hz,
                                      const Eigen::VectorXd &wall_hz, double within, double least) {
  std::vector<Coincidence> list;
  const double root = std::sqrt(plain_fluid(air.air).bulk_modulus.real());
  for (int i = air.chambers; i < air.standing; ++i)
    for (int j = 0; j < wall_hz.size(); ++j) {
      const Coincidence c{i, j, standing_hz[i], standing_hz[i] / wall_hz[j] - 1,
                          root * std::abs(air.wall_coupling(i, j)) / (4 * M_PI)};
      if (std::abs(c.apart) <= within && c.coupling > least * wall_hz[j]) list.push_back(c);
    }
  std::sort(list.begin(), list.end(),
            [](const Coincidence &a, const Coincidence &b) { return a.coupling > b.coupling; });
  return list;
}

}  // namespace stillbox
