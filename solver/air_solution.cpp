// SPDX-License-Identifier: MIT
#include "solver/air_solution.h"

#include "solver/damped_modes.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

// Damping and coupling move modes: those that end up below the top frequency are sought so far above it.
constexpr double rigid_margin = 1.2, coupled_margin = 1.1;

}  // namespace

AirSolution solve_air(const Structure &s, const SolveOptions &options) {
  AirSolution out;
  make_inside_mesh(s, {});  // refuses what it cannot do before the walls are solved
  InsideAirOptions air_options;
  air_options.up_to = options.up_to;
  air_options.fineness = options.fineness;
  Eigen::VectorXd frequency, loss;
  out.modes = solve_modes(s, options, [&](Model &m, const Spectrum &spectrum, const std::vector<DampedMode> &damped) {
    if (options.progress) options.progress("air inside: standing waves and coupling");
    Stopwatch watch;
    out.air = solve_inside_air(m, spectrum.elastic.vectors, air_options, &out.field);
    frequency.resize(Eigen::Index(damped.size()));
    loss.resize(frequency.size());
    for (Eigen::Index i = 0; i < frequency.size(); ++i) {
      frequency[i] = damped[std::size_t(i)].frequency;
      loss[i] = damped[std::size_t(i)].loss_factor;
    }
    out.seconds_air += watch.lap();
  });
  Stopwatch watch;
  if (options.progress) options.progress("air inside: motions of walls and air together");
  const CoupledSystem rigid = make_coupled_system(s, out.air, Eigen::VectorXd(0), Eigen::VectorXd(0));
  const CoupledSystem coupled = make_coupled_system(s, out.air, frequency, loss);
  out.rigid = coupled_modes(rigid, rigid_margin * options.up_to);
  out.coupled = coupled_modes(coupled, coupled_margin * options.up_to);
  out.tubes = coupled.tubes;
  for (const AirOpening &opening : out.air.openings)
    if (opening.port >= 0) out.ports.push_back(s.ports[opening.port].name);
  const int ports = int(out.tubes.size());
  out.rigid_of_standing = follow_standing(out.rigid, out.air);
  out.rigid_of_port = follow_ports(out.rigid, ports);
  out.coupled_of_wall = follow_walls(out.coupled, int(frequency.size()));
  out.coupled_of_standing = follow_standing(out.coupled, out.air);
  out.coupled_of_port = follow_ports(out.coupled, ports);
  Eigen::VectorXd standing = out.air.frequencies.head(out.air.standing);
  for (int i = 0; i < out.air.standing; ++i) {
    const int m = out.rigid_of_standing[std::size_t(i)];
    if (m >= 0 && !out.rigid[std::size_t(m)].damped_away) standing[i] = out.rigid[std::size_t(m)].frequency;
  }
  for (const Coincidence &c : coincidences(out.air, standing, frequency))
    if (out.air.frequencies[c.standing] <= options.up_to) out.coincidences.push_back(c);
  out.seconds_air += watch.lap();
  return out;
}

}  // namespace stillbox
