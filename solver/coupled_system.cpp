// SPDX-License-Identifier: MIT
#include "solver/coupled_system.h"

#include <algorithm>
#include <cmath>

#include "solver/lapack.h"
#include "solver/lining.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

constexpr double mass_at = 2 * M_PI * 100;  // 1/s: where the ports' real mass is taken

double real_mass(const PortTube &tube) { return port_mass(tube, mass_at).real(); }

// The walls move and something is known of the air that higher modes carry along.
bool has_residual(const CoupledSystem &c) { return c.wall_lambda.size() > 0 && c.air->wall_residual.size() > 0; }

Complex mixed(Complex plain, Complex lined, double t) { return (1 - t) * plain + t * lined; }

}  // namespace

CoupledSystem make_coupled_system(const Structure &s, const InsideAir &air, const Eigen::VectorXd &wall_frequency,
                                  const Eigen::VectorXd &wall_loss) {
  CoupledSystem c;
  c.air = &air;
  c.wall_lambda = (2 * M_PI * wall_frequency).cwiseAbs2();
  c.wall_loss = wall_loss;
  std::vector<Eigen::VectorXd> columns;
  for (const AirOpening &opening : air.openings) {
    if (opening.port < 0) continue;
    c.tubes.push_back(port_tube(s, s.ports[opening.port], air.air));
    columns.push_back(opening.area * opening.mean_phi);
  }
  c.port_coupling.resize(air.frequencies.size(), Eigen::Index(columns.size()));
  for (std::size_t p = 0; p < columns.size(); ++p) c.port_coupling.col(Eigen::Index(p)) = columns[p];
  return c;
}

Eigen::MatrixXcd coupled_matrix(const CoupledSystem &c, Complex w, double t, Eigen::MatrixXcd &slope) {
  const auto walls = c.wall_lambda.size(), ports = c.port_coupling.cols(), shapes = c.air->frequencies.size();
  const auto n = walls + ports + shapes;
  Eigen::MatrixXcd T = Eigen::MatrixXcd::Zero(n, n);
  slope = Eigen::MatrixXcd::Zero(n, n);
  const Complex w2 = w * w;
  const double real_w = std::max(std::abs(w.real()), 2 * M_PI), hz = real_w / (2 * M_PI);
  for (Eigen::Index j = 0; j < walls; ++j) {
    const Complex lambda = c.wall_lambda[j] * Complex(1, t * c.wall_loss[j]);
    T(j, j) = lambda / w2 - 1.0;
    slope(j, j) = -2.0 * lambda / (w2 * w);
  }
  if (has_residual(c)) T.topLeftCorner(walls, walls) -= (c.air->air.density * c.air->wall_residual).cast<Complex>();
  const AirFluid plain = plain_fluid(c.air->air);
  const double root = std::sqrt(plain.bulk_modulus.real());
  Eigen::MatrixXd drive(shapes, walls + ports);
  if (walls > 0) drive.leftCols(walls) = c.air->wall_coupling;
  for (Eigen::Index p = 0; p < ports; ++p) {
    const PortTube &tube = c.tubes[std::size_t(p)];
    const double mass = real_mass(tube);
    T(walls + p, walls + p) = -mixed(mass, port_mass(tube, real_w), t) / mass;
    drive.col(walls + p) = c.port_coupling.col(p) / std::sqrt(mass);
  }
  T.bottomLeftCorner(shapes, walls + ports) = -root * drive / w;
  slope.bottomLeftCorner(shapes, walls + ports) = root * drive / w2;
  T.topRightCorner(walls + ports, shapes) = T.bottomLeftCorner(shapes, walls + ports).transpose().eval();
  slope.topRightCorner(walls + ports, shapes) = slope.bottomLeftCorner(shapes, walls + ports).transpose().eval();
  for (const AirRegion &region : c.air->regions) {
    const AirFluid fluid = region.fluid(hz);
    const Complex softness = plain.bulk_modulus * mixed(1.0 / plain.density, 1.0 / fluid.density, t);
    const Complex give = plain.bulk_modulus * mixed(1.0 / plain.bulk_modulus, 1.0 / fluid.bulk_modulus, t);
    T.bottomRightCorner(shapes, shapes) += region.gradients * (softness / w2) - region.masses * give;
    slope.bottomRightCorner(shapes, shapes) += region.gradients * (-2.0 * softness / (w2 * w));
  }
  return T;
}

FreeMotions free_motions(const CoupledSystem &c, double w_top) {
  const auto walls = c.wall_lambda.size(), ports = c.port_coupling.cols(), shapes = c.air->frequencies.size();
  const auto moving = walls + ports, n = moving + shapes;
  const double root = std::sqrt(plain_fluid(c.air->air).bulk_modulus.real());
  Eigen::MatrixXd drive(shapes, moving);
  if (walls > 0) drive.leftCols(walls) = c.air->wall_coupling;
  for (Eigen::Index p = 0; p < ports; ++p)
    drive.col(walls + p) = c.port_coupling.col(p) / std::sqrt(real_mass(c.tubes[std::size_t(p)]));
  const Eigen::VectorXd air_w = 2 * M_PI * c.air->frequencies;
  Eigen::MatrixXd K = Eigen::MatrixXd::Zero(n, n);
  K.topLeftCorner(moving, moving) = root * root * drive.transpose() * drive;
  K.topLeftCorner(walls, walls).diagonal() += c.wall_lambda;
  K.bottomLeftCorner(shapes, moving) = -root * (air_w.asDiagonal() * drive);
  K.topRightCorner(moving, shapes) = K.bottomLeftCorner(shapes, moving).transpose();
  K.bottomRightCorner(shapes, shapes).diagonal() = air_w.cwiseAbs2();
  Eigen::MatrixXd M = Eigen::MatrixXd::Identity(n, n);
  if (has_residual(c)) M.topLeftCorner(walls, walls) += c.air->air.density * c.air->wall_residual;
  const SymmetricPairs solver = symmetric_eigenpairs(K, M);
  FreeMotions out;
  Eigen::Index first = 0, end = 0;
  while (first < n && solver.values[first] < std::pow(2 * M_PI, 2)) ++first;
  end = first;
  while (end < n && solver.values[end] <= w_top * w_top) ++end;
  out.w = solver.values.segment(first, end - first).cwiseSqrt();
  const Eigen::MatrixXd v = solver.vectors.middleCols(first, end - first);
  out.y.resize(n, end - first);
  for (Eigen::Index m = 0; m < out.w.size(); ++m) {
    out.y.col(m).head(moving) = out.w[m] * v.col(m).head(moving);
    out.y.col(m).tail(shapes) = -root * drive * v.col(m).head(moving) + air_w.cwiseProduct(v.col(m).tail(shapes));
    out.y.col(m).normalize();
  }
  return out;
}

}  // namespace stillbox
