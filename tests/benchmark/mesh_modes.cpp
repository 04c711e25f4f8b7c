// SPDX-License-Identifier: MIT
#include "tests/benchmark/mesh_modes.h"

#include <fstream>
#include <string>

#include "solver/energies.h"
#include "solver/error_estimate.h"
#include "solver/face_samples.h"
#include "solver/ranks.h"
#include "solver/stopwatch.h"
#include "tests/benchmark/own_use.h"

namespace stillbox {
namespace {

/// Sets the peak of this process's resident memory to what it is now (proc(5)); false when the system does not let it.
bool reset_peak() {
  std::ofstream file("/proc/self/clear_refs");
  file << "5" << std::flush;
  return bool(file);
}

/// MiB.
double peak_since_reset() {
  std::ifstream file("/proc/self/status");
  for (std::string word; file >> word;)
    if (word == "VmHWM:") {
      double kib = 0;
      file >> kib;
      return kib / 1024;
    }
  return not_measured;
}

}  // namespace

std::vector<RunFigures> measure_modes_on_mesh(const Structure &structure, const SolveOptions &options,
                                              const std::vector<double> &up_to) {
  start_mpi();  // else the first factorisation does
  SolveReport built;
  Model m = build_model(structure, options, built);
  std::vector<RunFigures> rows;
  for (const double top : up_to) {
    const bool marked = reset_peak();
    const double before = own_processor_seconds();
    SolveOptions o = options;
    o.up_to = top;
    SolveReport report;
    const Spectrum spectrum = solve_spectrum(m, o, report);
    Stopwatch watch;
    const Eigen::VectorXd &lambda = spectrum.elastic.values;
    std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> shapes;
    for (Eigen::Index i = 0; i < lambda.size(); ++i)
      shapes.push_back(expand(m.unknowns, m.discretisation, spectrum.elastic.vectors.col(i)));
    modal_energies(m, shapes, lambda, thickness_groups(structure));
    const Eigen::VectorXd error = stress_jump_error(m, shapes, lambda);
    sample_faces(m, shapes);
    net_volumes(m, shapes);
    RunFigures row;
    row.post = watch.lap();
    row.group = RowGroup::modes;
    row.up_to = top;
    row.fineness = options.fineness;
    row.degree = options.degree;
    row.dofs = m.unknowns.count;
    row.modes = lambda.size();
    row.mesh = built.seconds_mesh;
    row.assembly = built.seconds_assemble;
    row.factorisation = report.seconds_factorise;
    row.eigen = report.seconds_eigen;
    row.whole = row.mesh + row.assembly + row.factorisation + row.eigen + row.post;
    row.processor = own_processor_seconds() - before;
    if (marked) row.peak = peak_since_reset();
    if (error.size() > 0) {
      row.worst_error = 100 * error.maxCoeff();
      row.mean_error = 100 * error.mean();
    }
    rows.push_back(row);
  }
  return rows;
}

}  // namespace stillbox
