// SPDX-License-Identifier: MIT
#include "solver/damped_modes.h"

#include <algorithm>
#include <cmath>

#include "solver/complex_factor.h"
#include "solver/damped_space.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// A mode on its way: where it is, the best so far, and how long that has stood.
struct Search {
  DampedPair now, best;
  double residual = 1e300;  // of the best
  int idle = 0;             // steps since that last halved
  int steps = 0;
  bool found = false;
};

// Judges the modes that are not found yet and returns the residuals of those that stay open.
Eigen::MatrixXcd judge(const DampedSpace &space, const DampedOptions &options, std::vector<Search> &searches) {
  constexpr double most_rounding = 16;  // a row of K has a hundred terms and more, each rounded
  constexpr int patience = 2;
  std::vector<Search *> asked;
  std::vector<DampedPair> pairs;
  for (Search &search : searches)
    if (!search.found) {
      asked.push_back(&search);
      pairs.push_back(search.now);
    }
  const Eigen::MatrixXcd x = vectors_of(space, pairs);
  DampedResiduals residuals = residuals_of(space.basis->problem, pairs, x);
  Eigen::Index open = 0;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    Search &search = *asked[i];
    const double residual = residuals.relative[i];
    search.idle = residual > 0.5 * search.residual ? search.idle + 1 : 0;
    if (residual < search.residual) {
      search.residual = residual;
      search.best = search.now;
    }
    search.found = search.residual <= options.tolerance;
    // Rounding shows in that the residual no longer falls.
    if (!search.found && search.idle >= patience)
      search.found = search.residual <= most_rounding * residuals.scale[i] *
                                            rounding_of(space.basis->problem, pairs[i], x.col(Eigen::Index(i)));
    if (search.found) continue;
    ++search.steps;
    residuals.r.col(open++) = residuals.r.col(Eigen::Index(i)).eval();
  }
  residuals.r.conservativeResize(Eigen::NoChange, open);
  return residuals.r;
}

// A few modes that are corrected together until each is exact.
void solve_batch(const DampedBasis &basis, const ComplexFactor &factor, const DampedOptions &options,
                 std::vector<Search> searches, DampedMode *result) {
  DampedSpace space = make_damped_space(basis);
  for (int step = 0;; ++step) {
    Eigen::MatrixXcd w = judge(space, options, searches);
    if (w.cols() == 0) break;
    if (step >= options.most_steps) {
      const auto open = std::find_if(searches.begin(), searches.end(), [](const Search &s) { return !s.found; });
      throw SolveError("a damped mode near " + std::to_string(int(damped_frequency(open->now.lambda))) +
                       " Hz did not converge; use the energy method or a lower top frequency");
    }
    factor.solve(w);
    extend(space, std::move(w));
    for (Search &search : searches)
      if (!search.found) follow_pair(space, search.now);
  }
  std::vector<DampedPair> pairs;
  for (const Search &search : searches) pairs.push_back(search.best);
  const Eigen::MatrixXcd shapes = vectors_of(space, pairs);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Complex lambda = pairs[i].lambda;
    result[i].frequency = damped_frequency(lambda);
    result[i].loss_factor = lambda.imag() / lambda.real();
    result[i].residual = searches[i].residual;
    result[i].steps = searches[i].steps;
    result[i].shape = shapes.col(Eigen::Index(i));
  }
}

void refuse_twins(const DampedProblem &p, const std::vector<DampedMode> &modes) {
  for (std::size_t i = 0; i < modes.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      if (std::abs(modes[i].frequency / modes[j].frequency - 1) > 1e-9) continue;
      Eigen::MatrixXd parts(modes[j].shape.size(), 2);
      parts << modes[j].shape.real(), modes[j].shape.imag();
      parts = multiply(*p.mass, parts);
      const Complex overlap =
          (modes[i].shape.transpose() * parts.cast<Complex>() * Eigen::Vector2cd(1, Complex(0, 1)))(0);
      if (std::abs(overlap) > 0.9)
        throw SolveError("two damped modes near " + std::to_string(int(modes[i].frequency)) +
                         " Hz cannot be told apart; use the energy method for this case");
    }
}

}  // namespace

std::vector<DampedMode> energy_modes(const DampedProblem &p, const EigenPairs &real) {
  const int modes = int(real.values.size());
  Eigen::MatrixXd energy(p.parts.size() + 1, modes);
  energy.row(0) = real.values.transpose();
  constexpr int at_once = 16;  // a product with all of the vectors is as large as they are
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    for (int i = 0; i < modes; i += at_once) {
      const auto x = real.vectors.middleCols(i, std::min(at_once, modes - i));
      energy.row(k + 1).segment(i, x.cols()) = x.cwiseProduct(multiply(p.parts[k].stiffness, x)).colwise().sum();
    }
  std::vector<DampedMode> result(modes);
  for (int i = 0; i < modes; ++i) {
    Complex lambda = real.values[i];
    for (int step = 0; step < 50; ++step) {
      const Complex next = (damped_weights(p, damped_frequency(lambda)).transpose() * energy.col(i).cast<Complex>())(0);
      const double change = std::abs(next - lambda) / std::abs(next);
      lambda = next;
      if (change < 1e-12) break;
    }
    result[i].frequency = damped_frequency(lambda);
    result[i].loss_factor = lambda.imag() / lambda.real();
  }
  return result;
}

double energy_method_error(const DampedProblem &p, const EigenPairs &real, const std::vector<DampedMode> &energy) {
  if (p.parts.empty() || energy.empty()) return 0;  // all loses alike: the undamped shapes are the damped ones
  const DampedBasis basis = make_modal_basis(p, real);
  const std::vector<DampedPair> pairs = first_pairs(make_damped_space(basis), energy);
  double worst = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Complex lambda = pairs[i].lambda;
    worst = std::max(worst, std::abs(damped_frequency(lambda) / energy[i].frequency - 1));
    const double loss = lambda.imag() / lambda.real();
    if (loss > 0) worst = std::max(worst, std::abs(energy[i].loss_factor / loss - 1));
  }
  return worst;
}

std::vector<DampedMode> exact_modes(const DampedProblem &p, double up_to, const EigenPairs &real,
                                    const DampedOptions &options) {
  const int modes = int(real.values.size());
  std::vector<DampedMode> result = energy_modes(p, real);
  if (modes == 0) return result;
  // The loss of the shift is that of the typical mode: their mean.
  double loss = 0;
  for (const DampedMode &mode : result) loss += mode.loss_factor / modes;
  const double middle = 0.77 * up_to, omega = 2 * M_PI * middle;
  const ComplexFactor factor(p, middle, omega * omega * Complex(1, loss));
  const DampedBasis basis = make_damped_basis(p, real);
  std::vector<Search> searches(result.size());
  const std::vector<DampedPair> first = first_pairs(make_damped_space(basis), result);
  for (std::size_t i = 0; i < first.size(); ++i) searches[i].now = first[i];
  for (int start = 0; start < modes; start += options.batch) {
    const int end = std::min(modes, start + options.batch);
    solve_batch(basis, factor, options, {searches.begin() + start, searches.begin() + end},
                &result[std::size_t(start)]);
    if (options.progress) options.progress(end, modes);
  }
  refuse_twins(p, result);
  return result;
}

}  // namespace stillbox
