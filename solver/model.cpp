// SPDX-License-Identifier: MIT
#include "solver/modes.h"
#include "solver/stopwatch.h"

namespace stillbox {

Model build_model(const Structure &structure, const SolveOptions &options, SolveReport &report) {
  Stopwatch watch;
  Model m;
  m.structure = &structure;
  if (options.progress) options.progress("meshing");
  m.mesh = make_hex_mesh(structure, {options.up_to, options.fineness, options.degree});
  m.discretisation = discretise(m.mesh, options.degree);
  m.unknowns = number_unknowns(structure, m.discretisation);
  m.laws = make_laws(structure);
  report.seconds_mesh += watch.lap();
  if (options.progress) options.progress("assembling " + std::to_string(m.unknowns.count) + " unknowns");
  m.system = assemble(structure, m.mesh, m.discretisation, m.unknowns, m.laws);
  report.seconds_assemble += watch.lap();
  report.dofs = m.unknowns.count;
  report.cells = int(m.mesh.cells.size());
  report.degree = options.degree;
  report.up_to = options.up_to;
  report.least_jacobian = m.system.least_jacobian;
  const Volumes expected = volumes_of(structure);
  report.mass = m.system.wood_mass + m.system.fitting_mass;
  report.mass_expected = expected.mass;
  report.volume = m.system.wood_volume;
  for (double v : expected.board) report.volume_expected += v;
  const auto off = [](double a, double b) { return std::abs(a - b) > 1e-3 * b; };
  if (off(report.volume, report.volume_expected) || off(report.mass, report.mass_expected))
    throw SolveError("the mesh holds " + std::to_string(report.mass) + " kg in " + std::to_string(report.volume * 1e3) +
                     " l of wood but the description " + std::to_string(report.mass_expected) + " kg in " +
                     std::to_string(report.volume_expected * 1e3) + " l; they must agree to 0.1 %");
  return m;
}

}  // namespace stillbox
