// SPDX-License-Identifier: MIT
#include "solver/forced_response.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/driver_model.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// rho 8/3 a^3: air that swings along with one side of a piston in a baffle at low frequencies (Rayleigh; from memory).
double baffled_air_mass(double density, double area) { return density * 8 / 3 * std::pow(area / M_PI, 1.5); }

// Mass the air's shapes give a piston at low frequencies: rho S^2 phi' G^-1 phi without the uniform pressures.
double inside_air_mass(const InsideAir &air, const Eigen::VectorXd &phi, double area, double density) {
  Eigen::MatrixXd G = Eigen::MatrixXd::Zero(phi.size(), phi.size());
  for (const AirRegion &region : air.regions) G += region.gradients;
  const SymmetricPairs shapes = symmetric_eigenpairs(G);
  const double least = 1e-4 / std::pow(air.volume, 2.0 / 3);  // a standing wave has some 10 / L^2
  double sum = 0;
  for (int i = 0; i < phi.size(); ++i)
    if (shapes.values[i] > least) sum += std::pow(shapes.vectors.col(i).dot(phi), 2) / shapes.values[i];
  return density * area * area * sum;
}

// Resistance to a port's motion along its tube, N s/m.
double port_resistance(const ForcedSystem::Port &port, double frequency) {
  return -2 * M_PI * frequency * port.mass(frequency).imag();
}

// A(f), see ForcedSystem.
Eigen::MatrixXcd air_matrix(const ForcedSystem &s, double frequency) {
  const double omega = 2 * M_PI * frequency;
  Eigen::MatrixXcd A = Eigen::MatrixXcd::Zero(s.coupling.rows(), s.coupling.rows());
  for (const AirRegion &region : s.regions) {
    const AirFluid fluid = region.fluid(frequency);
    A += region.gradients / fluid.density - omega * omega / fluid.bulk_modulus * region.masses;
  }
  return A;
}

// Adds `stiffness` between motion `at` and the rim.
void add_relative(Eigen::MatrixXcd &D, int at, const Eigen::VectorXd &rim, Complex stiffness) {
  const int n = int(rim.size());
  D(at, at) += stiffness;
  D.block(0, at, n, 1) -= stiffness * rim;
  D.block(at, 0, 1, n) -= stiffness * rim.transpose();
  D.topLeftCorner(n, n) += stiffness * (rim * rim.transpose());
}

Complex relative(const Eigen::VectorXcd &y, int at, const Eigen::VectorXd &rim) {
  return y[at] - Complex(rim.cast<Complex>().dot(y.head(rim.size())));
}

ForcedAnswer::Powers powers_of(const ForcedSystem &s, const ForcedAnswer &a, const Eigen::MatrixXcd &radiation) {
  const double omega = 2 * M_PI * a.frequency;
  const int n = s.shapes();
  ForcedAnswer::Powers p;
  for (std::size_t d = 0; d < s.cones.size(); ++d) {
    const auto &cone = s.cones[d];
    const double velocity = omega * std::abs(relative(a.motions, n + int(d), cone.rim));
    p.electrical += (cone.values.voltage * std::conj(a.current[d])).real();
    p.coil += cone.values.coil_resistance * std::norm(a.current[d]);
    p.suspension += suspension_resistance(cone.values) * velocity * velocity;
  }
  for (std::size_t k = 0; k < s.ports.size(); ++k) {
    const double velocity = omega * std::abs(relative(a.motions, n + int(s.cones.size() + k), s.ports[k].rim));
    p.ports += port_resistance(s.ports[k], a.frequency) * velocity * velocity;
  }
  const Eigen::VectorXcd q = a.motions.head(n);
  p.walls = omega * q.dot(stiffness_at(s.stiffness, a.frequency) * q).imag();
  if (a.air.size() > 0) p.lining = a.air.dot(air_matrix(s, a.frequency) * a.air).imag() / omega;
  if (radiation.size() > 0) p.radiated = omega * omega * a.motions.dot(radiation * a.motions).real();
  return p;
}

}  // namespace

ForcedSystem make_forced_system(const ShapeStiffness &stiffness, const InsideAir &air, double density,
                                const std::vector<SmallSignal> &drivers, const std::vector<int> &cone_openings,
                                const std::vector<ForcedPort> &ports, const Eigen::MatrixXd &rims,
                                const Eigen::VectorXd &coupled_area) {
  ForcedSystem s;
  s.stiffness = stiffness;
  s.regions = air.regions;
  const int n = s.shapes(), free = int(drivers.size() + ports.size()), modes = int(air.frequencies.size());
  assert(rims.rows() == int(air.openings.size()) && coupled_area.size() == rims.rows() &&
         drivers.size() == cone_openings.size());
  s.coupling = Eigen::MatrixXd::Zero(modes, n + free);
  s.coupling.leftCols(n) = air.wall_coupling;
  Eigen::VectorXd plug_area = -coupled_area;  // besides what wall_coupling holds
  for (std::size_t i = 0; i < air.openings.size(); ++i) plug_area[i] += air.openings[i].area;
  int at = n;
  for (std::size_t d = 0; d < drivers.size(); ++d, ++at) {
    const AirOpening &opening = air.openings[cone_openings[d]];
    const SmallSignal &values = drivers[d];
    const double own = baffled_air_mass(density, values.cone_area);
    const double brought = std::min(own, inside_air_mass(air, opening.mean_phi, values.cone_area, density));
    s.cones.push_back({values, values.moving_mass - brought, std::max(0.0, values.moving_mass - 2 * own),
                       rims.row(cone_openings[d]).transpose()});
    s.coupling.col(at) = values.cone_area * opening.mean_phi;
    plug_area[cone_openings[d]] -= values.cone_area;
  }
  for (const ForcedPort &port : ports) {
    s.ports.push_back({port.mass, rims.row(port.opening).transpose()});
    s.coupling.col(at++) = port.area * air.openings[port.opening].mean_phi;
    plug_area[port.opening] -= port.area;
  }
  for (std::size_t i = 0; i < air.openings.size(); ++i)
    s.coupling.leftCols(n) += plug_area[i] * air.openings[i].mean_phi * rims.row(i);
  return s;
}

Eigen::MatrixXcd dynamic_stiffness(const ForcedSystem &s, double frequency, const Eigen::MatrixXcd &radiation) {
  const double omega = 2 * M_PI * frequency, omega2 = omega * omega;
  const int n = s.shapes();
  Eigen::MatrixXcd D = Eigen::MatrixXcd::Zero(s.motions(), s.motions());
  D.topLeftCorner(n, n) = stiffness_at(s.stiffness, frequency);
  D.topLeftCorner(n, n).diagonal().array() -= omega2;
  if (s.wall_mass.size() > 0) D.topLeftCorner(n, n) -= omega2 * s.wall_mass;
  int at = n;
  for (const auto &cone : s.cones) {
    D.topLeftCorner(n, n) += omega2 * cone.rim_mass * (cone.rim * cone.rim.transpose());
    D(at, at) -= omega2 * cone.moving_mass;
    add_relative(D, at++, cone.rim, drive_stiffness(cone.values, frequency));
  }
  for (const auto &port : s.ports) {
    D(at, at) -= omega2 * port.mass(frequency).real();
    add_relative(D, at++, port.rim, Complex(0, omega * port_resistance(port, frequency)));
  }
  if (radiation.size() > 0) D += Complex(0, omega) * radiation;
  if (s.coupling.rows() > 0) {
    // a = w^2 A^-1 B y pushes with B' a.
    const Eigen::MatrixXcd B = s.coupling.cast<Complex>();
    D -= omega2 * (B.transpose() * solve_dense(air_matrix(s, frequency), B));
  }
  return D;
}

ForcedAnswer forced_response(const ForcedSystem &s, double frequency, const Eigen::MatrixXcd &radiation,
                             bool walls_move) {
  const int n = s.shapes(), all = s.motions();
  const Eigen::MatrixXcd D = dynamic_stiffness(s, frequency, radiation);
  Eigen::VectorXcd load = Eigen::VectorXcd::Zero(all);
  for (std::size_t d = 0; d < s.cones.size(); ++d) {
    const Complex force = blocked_force(s.cones[d].values, frequency);
    load[n + int(d)] += force;
    load.head(n) -= force * s.cones[d].rim;
  }
  const int held = walls_move ? 0 : n, free = all - held;
  ForcedAnswer answer;
  answer.frequency = frequency;
  answer.motions = Eigen::VectorXcd::Zero(all);
  answer.motions.tail(free) = solve_dense(D.bottomRightCorner(free, free), load.tail(free));
  if (!answer.motions.allFinite()) throw SolveError("forced response: the equations are singular to working precision");
  const double omega = 2 * M_PI * frequency;
  if (s.coupling.rows() > 0)
    answer.air = solve_dense(air_matrix(s, frequency), omega * omega * (s.coupling.cast<Complex>() * answer.motions));
  answer.current.resize(s.cones.size());
  answer.impedance.resize(s.cones.size());
  for (std::size_t d = 0; d < s.cones.size(); ++d) {
    const auto &cone = s.cones[d];
    answer.current[d] = coil_current(cone.values, frequency, relative(answer.motions, n + int(d), cone.rim));
    answer.impedance[d] = cone.values.voltage / answer.current[d];
  }
  answer.powers = powers_of(s, answer, radiation);
  return answer;
}

}  // namespace stillbox
