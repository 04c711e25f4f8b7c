// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/coupled_system.h"

namespace stillbox {

/// A free motion of walls, ports and air together.
struct CoupledMode {
  double frequency = 0;           ///< Hz, root of Re w^2 / 2 pi
  double loss_factor = 0;         ///< Im w^2 / Re w^2
  double decay_time = 0;          ///< T60 = ln 1000 / Im w, s; infinite without loss
  double undamped_frequency = 0;  ///< Hz, without any loss and with plain air everywhere
  Eigen::VectorXd wall_share;     ///< of the kinetic energy, per wall mode
  Eigen::VectorXd port_share;     ///< per port
  Eigen::VectorXd air_share;      ///< per shape of the air; all three sum to 1
  double residual = 0;            ///< of the complex problem, largest entry of T y over that of y
  bool damped_away = false;       ///< so heavily damped that it no longer swings (loss factor above 2, or not found)
  bool separate = true;           ///< false when damping leads it into the same motion as another one
};

/// All up to `up_to` Hz (undamped), increasing. Losses of walls, linings and ports are brought in by steps, each mode
/// followed by Newton's method with the eigenvector; fluids at each mode's own frequency. Errors: SolveError when one
/// is lost.
std::vector<CoupledMode> coupled_modes(const CoupledSystem &system, double up_to);

/// Which coupled mode each wall mode, each standing wave (even pressure: -1) or each port has become: that with most of
/// its energy, each taken once. -1 when it lies above.
std::vector<int> follow_walls(const std::vector<CoupledMode> &modes, int walls);
std::vector<int> follow_standing(const std::vector<CoupledMode> &modes, const InsideAir &air);
std::vector<int> follow_ports(const std::vector<CoupledMode> &modes, int ports);

/// A standing wave and a wall mode that are close and drive each other.
struct Coincidence {
  int standing = 0, wall = 0;
  double standing_hz = 0;  ///< with rigid walls, as given
  double apart = 0;        ///< (standing - wall) / wall, relative, uncoupled
  double coupling = 0;     ///< Hz: sqrt(K) |C_ij| / (4 pi), by which each would move at equal frequencies
};
/// Pairs within `within` of each other whose coupling exceeds `least` of the frequency; strongest first. `standing_hz`:
/// frequencies of the standing waves with rigid walls and linings, for air.standing of them.
std::vector<Coincidence> coincidences(const InsideAir &air, const Eigen::VectorXd &standing_hz,
                                      const Eigen::VectorXd &wall_hz, double within = 0.03, double least = 1e-3);

}  // namespace stillbox
