// SPDX-License-Identifier: MIT
#include "solver/match_solution.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "solver/energies.h"
#include "solver/error_estimate.h"
#include "solver/face_samples.h"
#include "solver/labels.h"
#include "solver/lossy_parts.h"

namespace stillbox {
namespace {

using Eigen::VectorXd;
using Nodal = Eigen::Matrix<double, Eigen::Dynamic, 3>;

constexpr std::size_t most_sets = 3;  // of modes of other factors in the basis of the reduced model

Eigen::MatrixXd side_by_side(const std::vector<Eigen::MatrixXd> &parts) {
  Eigen::Index columns = 0, at = 0;
  for (const Eigen::MatrixXd &part : parts) columns += part.cols();
  if (columns == 0) return {};
  Eigen::MatrixXd all(parts.front().rows(), columns);
  for (const Eigen::MatrixXd &part : parts) {
    all.middleCols(at, part.cols()) = part;
    at += part.cols();
  }
  return all;
}

// Assembled anew on the mesh there is.
Spectrum spectrum_with(WholeModel &w, const MatchProblem &problem, const MatchOptions &options, const VectorXd &p,
                       SolveReport &report) {
  w.structure = structure_with(*problem.start, problem.unknowns, p);
  Model &m = w.model;
  m.structure = &w.structure;
  m.laws = make_laws(w.structure);
  m.system = assemble(w.structure, m.mesh, m.discretisation, m.unknowns, m.laws);
  return solve_spectrum(m, options.solve, report);
}

VectorXd damped_over_real(const Model &m, const EigenPairs &elastic) {
  const VectorXd &lambda = elastic.values;
  VectorXd ratio = VectorXd::Ones(lambda.size());
  bool is_tabled = false;
  for (const LayerLaw &law : m.laws.layers)
    is_tabled = is_tabled || m.structure->materials[law.material].viscoelastic.has_value();
  if (!is_tabled) return ratio;
  const std::vector<DampedMode> damped = energy_modes(make_damped_problem(m), elastic);
  for (int i = 0; i < ratio.size(); ++i) ratio[i] = damped[i].frequency / (std::sqrt(lambda[i]) / (2 * M_PI));
  return ratio;
}

// `strain`: energies, layers x modes.
std::vector<std::string> labels_of(const Model &m, const std::vector<Nodal> &shapes, const Eigen::MatrixXd &strain) {
  std::vector<std::string> labels;
  const std::vector<FaceSamples> faces = sample_faces(m, shapes);
  for (int i = 0; i < int(shapes.size()); ++i) {
    std::vector<double> share(m.structure->boards.size(), 0);
    for (std::size_t l = 0; l < m.laws.layers.size(); ++l) share[m.laws.layers[l].board] += strain(l, i);
    const double sum = strain.col(i).sum();
    for (double &part : share) part /= sum;
    labels.push_back(mode_label(faces, share, i));
  }
  return labels;
}

VectorXd continued_to(int size, const VectorXd &values) {
  VectorXd all = VectorXd::Constant(size, values[values.size() - 1]);
  all.head(values.size()) = values;
  return all;
}

}  // namespace

VectorXd FullSolution::hertz() const {
  return (reduced.lambda.cwiseSqrt() / (2 * M_PI)).cwiseProduct(ratio.head(modes()));
}

FullSolution solve_full(WholeModel &w, const MatchProblem &problem, const MatchOptions &options, const VectorXd &p,
                        std::vector<Eigen::MatrixXd> &modes_of_others, SolveReport &report) {
  const Spectrum spectrum = spectrum_with(w, problem, options, p, report);
  const Model &m = w.model;
  const VectorXd &lambda = spectrum.elastic.values;
  const int modes = int(lambda.size());
  if (modes == 0)
    throw SolveError("there is no mode up to " + std::to_string(int(options.solve.up_to)) + " Hz; raise --up-to");
  if (options.solve.progress) options.solve.progress("energies and the reduced model");
  std::vector<Nodal> shapes;
  for (int i = 0; i < modes; ++i)
    shapes.push_back(expand(m.unknowns, m.discretisation, spectrum.elastic.vectors.col(i)));
  FullSolution full;
  std::set<int> boards;
  for (const HeardFrequency &h : problem.heard)
    if (h.board >= 0) boards.insert(h.board);
  full.boards.assign(boards.begin(), boards.end());
  full.reduced =
      make_reduced_model(*problem.start, problem.unknowns, p, m, spectrum, full.boards, side_by_side(modes_of_others));
  full.error = stress_jump_error(m, shapes, lambda);
  const Energies e = modal_energies(m, shapes, lambda, {});
  full.loss = make_loss_model(m, problem.losses, lambda, e.strain, bond_energies(w.structure, m.system.bonds, shapes));
  full.ratio = damped_over_real(m, spectrum.elastic);
  full.labels = labels_of(m, shapes, e.strain);
  // Above the top frequency the reduced model has further, inexact modes.
  const int basis = int(full.reduced.stiffness.rows());
  full.error = continued_to(basis, full.error);
  full.ratio = continued_to(basis, full.ratio);
  modes_of_others.insert(modes_of_others.begin(), spectrum.elastic.vectors);
  if (modes_of_others.size() > most_sets) modes_of_others.pop_back();
  return full;
}

std::vector<Eigen::MatrixXd> modes_of_other_bonds(WholeModel &w, const MatchProblem &problem,
                                                  const MatchOptions &options, const VectorXd &low,
                                                  const VectorXd &high, SolveReport &report) {
  std::vector<Eigen::MatrixXd> others;
  for (double decade : {-1.0, 1.0}) {
    VectorXd q = VectorXd::Zero(low.size());
    for (int k = 0; k < q.size(); ++k)
      if (problem.unknowns[k].kind == MatchUnknown::Kind::bond_stiffness)
        q[k] = std::min(std::max(decade * std::log(10.0), low[k]), high[k]);
    if (q.norm() > 0.1) others.push_back(spectrum_with(w, problem, options, q, report).elastic.vectors);
  }
  return others;
}

}  // namespace stillbox
