// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/inside_air.h"
#include "solver/port_tube.h"

namespace stillbox {

/// Walls, ports and the air inside together (equations: inside_air.h). Cones are still.
struct CoupledSystem {
  const InsideAir *air = nullptr;
  Eigen::VectorXd wall_lambda;  ///< (2 pi f)^2 of the walls' modes without air, 1/s2
  Eigen::VectorXd wall_loss;    ///< their loss factors
  std::vector<PortTube> tubes;
  Eigen::MatrixXd port_coupling;  ///< shapes x ports: area times mean_phi
};

/// `wall_frequency` in Hz, one per column of wall_coupling; empty: rigid walls, whatever wall_coupling holds.
CoupledSystem make_coupled_system(const Structure &structure, const InsideAir &air,
                                  const Eigen::VectorXd &wall_frequency, const Eigen::VectorXd &wall_loss);

/// Scaled so that all entries are of order one: y = (w q, w sqrt(m) x, a / sqrt(K)), m the ports' real mass at 100 Hz,
/// K the bulk modulus of plain air. Complex symmetric.
///   rows of walls: lambda (1 + i t eta) / w^2 - 1;  of ports: -m*(w) / m;  of air: sum_r (G_r / rho_r / w^2 - H_r /
///   K_r) K; between walls and air -sqrt(K) C / w, ports likewise.
/// `t` from 0 (no loss, plain air everywhere) to 1. `slope`: derivative by w, the fluids and port masses held.
Eigen::MatrixXcd coupled_matrix(const CoupledSystem &system, std::complex<double> w, double t, Eigen::MatrixXcd &slope);

/// Free motions without loss as y (above) and w: from the symmetric real eigenproblem in (q, sqrt(m) x, z), z_i =
/// sqrt(K) w_i s_i / (w_i^2 - w^2), s = C q + S x, which is positive semidefinite. Those with 1 .. w_top (1/s).
struct FreeMotions {
  Eigen::VectorXd w;  ///< 1/s
  Eigen::MatrixXd y;  ///< columns
};
FreeMotions free_motions(const CoupledSystem &system, double w_top);

}  // namespace stillbox
